"""Unpacking a model's zip file without trusting it."""

from __future__ import annotations

import contextlib
import lzma
import os
import stat
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO

from callout.app.models.model_place import (
    ModelRefused,
    disk_errors,
    is_device,
    need_space,
    readable_size,
)
from callout.app.models.model_record import Progress
from callout.core.sentences import files, packs
from callout.core.sentences import models as sentences

MOST_FILES = 2_000
"""Published models have some twenty files."""
MOST_BYTES = 12 * 10**9
"""The largest published models unpack to about half of this."""
MOST_RATIO = 100
"""Unpacked to packed size; published models stay below 10."""
_FREE_RATIO_BYTES = 50 * 10**6
"""Up to this size any ratio is harmless."""
_CHUNK = 1 << 20
_IGNORED = {"__MACOSX", ".DS_Store", "Thumbs.db", "desktop.ini"}
_AGAIN = sentences.DOWNLOAD_AND_COMPARE


@dataclass(frozen=True, slots=True)
class _Entry:
    info: zipfile.ZipInfo
    path: PurePosixPath


class ArchiveRefused(ModelRefused):
    """The file itself is unusable: another copy is needed."""


def unpack_archive(archive: Path, into: Path, progress: Progress | None = None) -> None:
    """Unpack ``archive`` into the empty folder ``into``; raises ArchiveRefused, writing nothing
    outside ``into`` whatever the archive says."""
    with _damage_named(archive), zipfile.ZipFile(archive) as opened:
        entries = _checked_entries(opened, archive)
        total = sum(entry.info.file_size for entry in entries)
        need_space(total)
        done = 0
        for entry in entries:
            done += _write_entry(opened, entry, into)
            if progress:
                progress(done, total)


def _checked_entries(opened: zipfile.ZipFile, archive: Path) -> list[_Entry]:
    infos = opened.infolist()
    if len(infos) > MOST_FILES:
        raise _archive_refused(archive, f"it holds {len(infos)} files, more than any model has")
    entries = [_checked_entry(info, archive) for info in infos]
    kept = [e for e in entries if not e.info.is_dir() and _IGNORED.isdisjoint(e.path.parts)]
    _check_size(kept, archive)
    _check_clashes(kept, archive)
    return kept


def _checked_entry(info: zipfile.ZipInfo, archive: Path) -> _Entry:
    name = info.filename.replace("\\", "/")
    parts = name.rstrip("/").split("/")
    if info.orig_filename != info.filename and "\0" in info.orig_filename:
        raise _archive_refused(archive, f"the name {info.orig_filename!r} has a hidden end")
    if name.startswith("/") or ".." in parts:
        raise _archive_refused(archive, f"{info.filename!r} would be written outside its folder")
    if any(_is_unusable(part) for part in parts):
        raise _archive_refused(archive, f"{info.filename!r} is not a usable file name")
    _check_kind(info, archive)
    return _Entry(info, PurePosixPath(*parts))


def _check_kind(info: zipfile.ZipInfo, archive: Path) -> None:
    mode = info.external_attr >> 16
    if stat.S_ISLNK(mode):
        raise _archive_refused(archive, f"{info.filename!r} is a link to another file")
    if stat.S_IFMT(mode) not in (0, stat.S_IFREG, stat.S_IFDIR):
        raise _archive_refused(archive, f"{info.filename!r} is not an ordinary file")
    if info.flag_bits & 0x1:
        raise _archive_refused(archive, f"{info.filename!r} is locked with a password")


def _is_unusable(part: str) -> bool:
    return (
        part in ("", ".")
        or part[-1] in ". "
        or any(character in '<>:"|?*' or ord(character) < 32 for character in part)
        or is_device(part)
    )


def _check_size(entries: list[_Entry], archive: Path) -> None:
    total = sum(entry.info.file_size for entry in entries)
    packed = max(1, archive.stat().st_size)
    if total > MOST_BYTES:
        raise _archive_refused(
            archive, f"it unpacks to {readable_size(total)}, more than any model needs"
        )
    if total > _FREE_RATIO_BYTES and total > MOST_RATIO * packed:
        raise _archive_refused(
            archive,
            f"it expands from {readable_size(packed)} to {readable_size(total)}, as no model does",
        )


def _check_clashes(entries: list[_Entry], archive: Path) -> None:
    """Refuse two names that are the same on some platform, and a file that is also a folder."""
    seen: set[str] = set()
    folders = {str(up).casefold() for entry in entries for up in entry.path.parents}
    for entry in entries:
        name = str(entry.path).casefold()
        if name in seen or name in folders:
            raise _archive_refused(archive, f"{entry.info.filename!r} is in it twice")
        seen.add(name)


def _write_entry(opened: zipfile.ZipFile, entry: _Entry, into: Path) -> int:
    target = into.joinpath(*entry.path.parts)
    with disk_errors("write to"):
        target.parent.mkdir(parents=True, exist_ok=True)
        file = target.open("xb")
    with file, opened.open(entry.info) as packed:
        return copy_counted(packed, file, entry.info.file_size)


def copy_counted(source: IO[bytes], target: IO[bytes], size: int) -> int:
    """Copy ``source`` to disk for good; raises EOFError unless it has exactly ``size`` bytes."""
    done = 0
    while chunk := source.read(_CHUNK):
        done += len(chunk)
        if done > size:
            break
        with disk_errors("write to"):
            target.write(chunk)
    if done != size:
        raise EOFError(f"it has {done} bytes instead of {size}")
    with disk_errors("write to"):
        target.flush()
        os.fsync(target.fileno())
    return done


@contextlib.contextmanager
def _damage_named(archive: Path) -> Iterator[None]:
    try:
        yield
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError) as error:
        raise ArchiveRefused(sentences.zip_damaged(archive, _plain_cause(error)), _AGAIN) from error
    except (NotImplementedError, RuntimeError, ValueError) as error:
        raise ArchiveRefused(
            sentences.zip_not_unpacked(archive, _plain_cause(error)), _AGAIN
        ) from error
    except OSError as error:
        raise ModelRefused(files.file_cannot_be_read(archive, error.strerror or error)) from error


def _plain_cause(error: BaseException) -> str:
    return (str(error) or type(error).__name__).rstrip(".").lower()


def _archive_refused(archive: Path, why: str) -> ArchiveRefused:
    return ArchiveRefused(
        packs.archive_refused(archive.name, why),
        sentences.ZIP_HINT,
    )
