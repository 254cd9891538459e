"""The folder in which models are kept, and putting one there in a single step."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from callout.core.sentences import models as sentences
from callout.errors import CalloutError

FOLDER_VARIABLE = "CALLOUT_MODEL_DIR"
_INCOMING = ".incoming-"
_OUTGOING = ".outgoing-"
_TRASH = ".trash-"
_DOWNLOADS = ".downloads"
_STALE_SECONDS = 24 * 3600
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}")
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)


class ModelRefused(CalloutError):
    """A model cannot be installed, replaced or removed."""


def models_dir() -> Path:
    """Return the absolute folder of installed models; the environment variable overrides it."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    if chosen:
        return Path(os.path.abspath(Path(chosen).expanduser()))
    import platformdirs

    return platformdirs.user_data_path("callout", appauthor=False) / "models"


def downloads_dir() -> Path:
    """Return the folder of unfinished downloads."""
    return models_dir() / _DOWNLOADS


def checked_name(name: str) -> str:
    """Return ``name`` if it can be a folder's name on every platform; raises ModelRefused."""
    if _NAME.fullmatch(name) and not is_device(name) and not name.endswith("."):
        return name
    raise ModelRefused(
        sentences.bad_model_name(name),
        "Give it a name of letters, digits, dots, dashes and underscores: --name NAME",
    )


def is_device(name: str) -> bool:
    """Say whether Windows keeps this file name for a device."""
    return _DEVICES.fullmatch(name) is not None


@contextlib.contextmanager
def working_folder() -> Iterator[Path]:
    """Yield an empty folder on the same disk as the models; removed afterwards."""
    with disk_errors("write to"):
        models_dir().mkdir(parents=True, exist_ok=True)
        clear_leftovers()
        folder = Path(tempfile.mkdtemp(dir=models_dir(), prefix=_INCOMING))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def put_in_place(model: Path, name: str, *, replace: bool) -> Path:
    """Move ``model`` to its final place and return it; an existing one survives any failure."""
    place = models_dir() / checked_name(name)
    with disk_errors("write to"):
        if not os.path.lexists(place):
            model.rename(place)
        elif replace:
            _exchange_folders(model, place)
        else:
            raise ModelRefused(
                sentences.model_exists(name),
                sentences.REPLACE_OR_RENAME,
            )
        _sync_folder(place.parent)
    return place


def take_away(name: str) -> Path:
    """Remove an installed model; returns where it was. A half-removed one is never left."""
    place = models_dir() / checked_name(name)
    clear_leftovers()
    with disk_errors("remove from"):
        _discard_folder(place)
    return place


def clear_leftovers() -> None:
    """Undo what an interrupted replacement left, and remove old leftovers."""
    folder = models_dir()
    for kept in folder.glob(f"{_OUTGOING}*"):
        place = folder / kept.name.removeprefix(_OUTGOING).rpartition("~")[0]
        with contextlib.suppress(OSError):
            if os.path.lexists(place):
                _discard_folder(kept)
            else:
                kept.rename(place)
    for gone in folder.glob(f"{_TRASH}*"):
        shutil.rmtree(gone, ignore_errors=True)
    for left in folder.glob(f"{_INCOMING}*"):
        with contextlib.suppress(OSError):
            if time.time() - left.stat().st_mtime > _STALE_SECONDS:
                shutil.rmtree(left, ignore_errors=True)


@contextlib.contextmanager
def disk_errors(doing: str) -> Iterator[None]:
    """Turn a file system error into one sentence."""
    try:
        yield
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise ModelRefused(
                sentences.disk_full(models_dir()),
                sentences.free_some_space(FOLDER_VARIABLE),
            ) from error
        raise ModelRefused(
            sentences.model_folder_failed(doing, models_dir(), error.strerror or error),
            sentences.model_folder_hint(FOLDER_VARIABLE),
        ) from error


def need_space(size: int) -> None:
    """Refuse work that needs ``size`` bytes more than the disk has free."""
    with disk_errors("write to"):
        models_dir().mkdir(parents=True, exist_ok=True)
        free = shutil.disk_usage(models_dir()).free
    if size > free:
        raise ModelRefused(
            sentences.too_little_space(readable_size(size), models_dir(), readable_size(free)),
            sentences.free_some_space(FOLDER_VARIABLE),
        )


def readable_size(size: float) -> str:
    """Return a size in bytes for people: ``40.2 MB`` (decimal units)."""
    for unit in ("bytes", "kB", "MB"):
        if size < 1000:
            return f"{size:.0f} {unit}" if unit == "bytes" else f"{size:.1f} {unit}"
        size /= 1000
    return f"{size:.1f} GB"


def _exchange_folders(model: Path, place: Path) -> None:
    kept = _outgoing_place(place)
    place.rename(kept)
    try:
        model.rename(place)
    except OSError:
        kept.rename(place)
        raise
    _discard_folder(kept)


def _outgoing_place(place: Path) -> Path:
    return place.with_name(f"{_OUTGOING}{place.name}~{_unique_name()}")


def _discard_folder(gone: Path) -> None:
    """Delete a model: hide it in one step, then delete file by file."""
    if gone.is_symlink():
        gone.unlink()
        return
    trash = gone.with_name(f"{_TRASH}{_unique_name()}")
    gone.rename(trash)
    shutil.rmtree(trash, ignore_errors=True)


def _unique_name() -> str:
    return f"{os.getpid()}-{time.monotonic_ns()}"


def _sync_folder(folder: Path) -> None:
    with contextlib.suppress(OSError):  # Windows can't open a folder
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
