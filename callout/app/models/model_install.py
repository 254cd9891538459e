"""Installing a model from a zip file or a folder: all of it or nothing."""

from __future__ import annotations

import os
import stat
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from callout.app.models.installed_models import InstalledModel, ModelOrigin, describe_model
from callout.app.models.model_archive import ArchiveRefused, copy_counted, unpack_archive
from callout.app.models.model_place import (
    ModelRefused,
    checked_name,
    disk_errors,
    models_dir,
    need_space,
    put_in_place,
    working_folder,
)
from callout.app.models.model_record import (
    ModelRecord,
    Progress,
    content_sha256,
    mark_files,
    sha256_of,
    total_size,
    write_record,
)
from callout.app.models.model_trial import can_try, try_in_child
from callout.core.sentences import files
from callout.core.sentences import models as sentences
from callout.hearing.vosk_files import language_of, listed_names, missing_files, model_roots
from callout.hearing.vosk_trial import VoskTrial

_GENERIC = {"model", "models", "vosk", "download", "unpacked"}


@dataclass(frozen=True, slots=True)
class InstallOptions:
    """What a person may choose."""

    name: str = ""
    """Empty: taken from the model's folder or zip file."""
    language: str = ""
    """Empty: taken from the name, or found by trying English words."""
    replace: bool = False
    trial: bool = True
    source: str = ""
    """Where it came from, for the record; empty: the given path."""


@dataclass(frozen=True, slots=True)
class Installed:
    """What was installed, and its checksums."""

    model: InstalledModel
    content_sha256: str
    archive_sha256: str = ""
    """Empty for a folder."""
    trial: VoskTrial | None = None
    found_at: str = ""
    """Where in the zip file or folder the model was, if not in the usual place."""


def install_model(
    source: Path,
    options: InstallOptions | None = None,
    progress: Progress | None = None,
    before_trial: Callable[[], None] = lambda: None,
) -> Installed:
    """Install the model in ``source``; raises ModelRefused and leaves everything as it was."""
    options = options or InstallOptions()
    source = Path(os.path.abspath(source.expanduser()))
    if not source.exists():
        raise ModelRefused(sentences.no_model_source(source), sentences.CHECK_PATH)
    with working_folder() as work:
        unpacked = work / "new"
        unpacked.mkdir()
        if source.is_dir():
            _check_apart(source)
            root = _only_model(source, source)
            _copy_folder(root, unpacked / root.relative_to(source), progress)
            return _finish_install(source, unpacked, "", options, before_trial)
        _check_is_zip(source)
        unpack_archive(source, unpacked, progress)
        return _finish_install(source, unpacked, sha256_of(source), options, before_trial)


def _finish_install(
    source: Path,
    unpacked: Path,
    archive: str,
    options: InstallOptions,
    before_trial: Callable[[], None],
) -> Installed:
    root = _only_model(source, unpacked)
    name = checked_name(options.name or _name_for(root, unpacked, source))
    _refuse_early(name, options)
    trial = None
    if options.trial and can_try():
        before_trial()
        trial = try_in_child(root)
    if trial is not None and not trial.loads:
        raise ArchiveRefused(f"{source} is refused: {trial.message}", trial.hint)
    marks = mark_files(root)
    record = ModelRecord(
        name=name,
        language=options.language.lower() or language_of(name) or _by_words(trial),
        source=options.source or str(source),
        archive_sha256=archive,
        installed_at=datetime.now(UTC).isoformat(timespec="seconds"),
        files=marks,
    )
    with disk_errors("write to"):
        write_record(root, record)
    place = put_in_place(root, name, replace=options.replace)
    return Installed(
        model=describe_model(place, ModelOrigin.INSTALLED),
        content_sha256=content_sha256(marks),
        archive_sha256=archive,
        trial=trial,
        found_at=_unexpected_folder(root.relative_to(unpacked), in_zip=bool(archive)),
    )


def _unexpected_folder(inner: Path, *, in_zip: bool) -> str:
    """Return ``inner`` unless it is the top, or the single folder that publishers put in a zip
    file.
    """
    return inner.as_posix() if len(inner.parts) > int(in_zip) else ""


def _check_is_zip(source: Path) -> None:
    if source.stat().st_size == 0:
        raise ArchiveRefused(sentences.is_empty(source), sentences.DOWNLOAD_AGAIN)
    if not zipfile.is_zipfile(source):
        raise ArchiveRefused(
            sentences.zip_is_incomplete(source),
            sentences.NOT_A_ZIP_HINT,
        )


def _only_model(source: Path, unpacked: Path) -> Path:
    roots = model_roots(unpacked)
    if len(roots) > 1:
        names = listed_names(root.relative_to(unpacked).as_posix() for root in roots)
        raise ArchiveRefused(
            sentences.several_models(source, len(roots), names),
            sentences.SEVERAL_MODELS_HINT,
        )
    if not roots:
        raise ArchiveRefused(
            sentences.no_vosk_model(source),
            sentences.NO_MODEL_HINT,
        )
    missing = missing_files(roots[0])
    if missing:
        raise ArchiveRefused(
            sentences.model_incomplete(source, listed_names(missing)),
            sentences.DOWNLOAD_AND_COMPARE,
        )
    return roots[0]


def _name_for(root: Path, unpacked: Path, source: Path) -> str:
    names = [*reversed(root.relative_to(unpacked).parts)]
    names += [source.stem if source.is_file() else source.name, source.parent.name]
    telling = [name for name in names if name.lower() not in _GENERIC]
    return telling[0] if telling else names[0]


def _refuse_early(name: str, options: InstallOptions) -> None:
    """Fail before the long part if the name is taken."""
    if (models_dir() / name).exists() and not options.replace:
        raise ModelRefused(
            sentences.model_exists(name),
            sentences.REPLACE_OR_RENAME,
        )


def _by_words(trial: VoskTrial | None) -> str:
    return "en" if trial is not None and trial.english else ""


def _check_apart(source: Path) -> None:
    if models_dir().resolve().is_relative_to(source.resolve()):
        raise ModelRefused(sentences.source_contains_target(source), sentences.ONE_MODEL_HINT)


def _copy_folder(source: Path, into: Path, progress: Progress | None) -> None:
    total, done = total_size(source), 0
    need_space(total)
    for here, folders, names in os.walk(source):
        for name in (*folders, *names):
            _check_ordinary(Path(here) / name)
        target = into / Path(here).relative_to(source)
        for name in names:
            done += _copy_file(Path(here) / name, target / name)
            if progress:
                progress(done, total)


def _check_ordinary(path: Path) -> None:
    mode = path.lstat().st_mode
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
        kind = "a link" if stat.S_ISLNK(mode) else "not an ordinary file"
        raise ModelRefused(f"{path} is {kind}.", sentences.LINK_HINT)


def _copy_file(source: Path, target: Path) -> int:
    with disk_errors("write to"):
        target.parent.mkdir(parents=True, exist_ok=True)
    try:
        opened = source.open("rb")
    except OSError as error:
        raise ModelRefused(files.file_cannot_be_read(source, error.strerror)) from error
    with opened, target.open("xb") as written:
        return copy_counted(opened, written, source.stat().st_size)
