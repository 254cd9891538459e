"""A journal's file, open and locked: the file itself, whatever names lead to it.

Locks of the operating system end with the process. Available libraries lock a second file, found by
name, so a link gets past them.
"""

from __future__ import annotations

import contextlib
import os
import sys
import time
from pathlib import Path

from callout.core.sentences import journals as sentences
from callout.ports.journal import JournalInUse, JournalUnwritable

_REST_S = 0.02
LEAST_WAIT_S = 0.2
"""Minimum wait: somebody who only asks whether a file is in use holds it for a moment."""

if sys.platform == "win32":
    import msvcrt

    _FAR = 2**40
    """Locking at this offset leaves the bytes themselves readable."""

    def _try_lock(file: int, shared: bool = False) -> None:
        os.lseek(file, _FAR, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)

    def _unlock(file: int) -> None:
        os.lseek(file, _FAR, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_UNLCK, 1)
else:
    import fcntl

    def _try_lock(file: int, shared: bool = False) -> None:
        fcntl.flock(file, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)

    def _unlock(file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_UN)


_TAKEN = (BlockingIOError, PermissionError)
"""Error codes for a lock held by somebody else; the second is from Windows."""


def open_held(path: Path, flags: int, wait_s: float = 0.0) -> int:
    """Return a descriptor of ``path``, locked until it is closed.

    Raises JournalInUse after ``wait_s`` seconds, JournalUnwritable for anything else.
    """
    until = time.monotonic() + max(wait_s, LEAST_WAIT_S)
    for last in (False, False, True):  # some network folders never give a file the same number
        file = _open_descriptor(path, flags)
        try:
            _lock_until(file, path, until)
            if last or is_at(file, path):
                return file
        except BaseException:
            os.close(file)
            raise
        os.close(file)  # another file has taken this place meanwhile
    raise AssertionError("the last one is taken")


def _open_descriptor(path: Path, flags: int) -> int:
    try:
        return os.open(path, flags | getattr(os, "O_BINARY", 0), 0o600)
    except FileExistsError as error:
        raise (
            _journal_in_use(path) if in_use(path) else journal_unwritable(path, error)
        ) from error
    except OSError as error:
        raise journal_unwritable(path, error) from error


def _lock_until(file: int, path: Path, until: float) -> None:
    while True:
        try:
            return _try_lock(file)
        except _TAKEN as error:
            if time.monotonic() >= until:
                raise _journal_in_use(path) from error
            time.sleep(_REST_S)
        except OSError as error:
            raise journal_unwritable(path, error) from error


def _journal_in_use(path: Path) -> JournalInUse:
    hint = "End that session first, or start a new one with: callout run"
    return JournalInUse(sentences.journal_in_use(path), hint)


def is_at(file: int, path: Path) -> bool:
    """Say whether ``path`` still leads to the open file."""
    try:
        there = os.stat(path)
    except OSError:
        return False
    return os.path.samestat(there, os.fstat(file))


def in_use(path: Path) -> bool:
    """Say whether a running session holds the file at ``path``."""
    try:
        file = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except OSError:
        return False
    try:
        _try_lock(file, shared=True)
    except _TAKEN:
        return True
    except OSError:
        return False
    else:
        _unlock(file)
        return False
    finally:
        os.close(file)


def write_all(file: int, data: bytes) -> None:
    """Write all of ``data``, in as many pieces as the system needs."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(file, rest) :]


def sync_folder(folder: Path) -> None:
    """Wait until the names in ``folder`` are on disk too."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def journal_unwritable(path: Path, error: OSError) -> JournalUnwritable:
    """Return the error for a journal that cannot be written."""
    why = (error.strerror or str(error)).rstrip(".")
    hint = sentences.UNWRITABLE_JOURNAL_HINT
    return JournalUnwritable(sentences.journal_unwritable(path, why), hint)


def remove_quietly(path: Path) -> None:
    """Remove a file that may not exist."""
    with contextlib.suppress(OSError):
        path.unlink()
