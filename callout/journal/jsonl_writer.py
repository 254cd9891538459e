"""One session's records, one JSON object a line, on the disk before anything else happens."""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from filelock import FileLock, Timeout

from callout.core.journal_records import JournalRecord
from callout.core.record_codec import to_plain
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.ports.journal import JournalInUse, JournalUnwritable

_LOCKS = ".locks"
_CREATE = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
_REOPEN = os.O_WRONLY | os.O_APPEND | getattr(os, "O_BINARY", 0)


class JsonlWriter:
    """Appends to one file that no other session may write to.

    A write that fails half-way is taken back, so that the file always ends with a whole line.
    """

    def __init__(self, path: Path, flags: int = _CREATE, wait_s: float = 0.0) -> None:
        self.where = str(path)
        self._lock = locked(path, wait_s)
        self._file: int | None = None
        try:
            self._file = os.open(path, flags, 0o600)
            self._size = os.fstat(self._file).st_size
            sync_folder(path.parent)
        except OSError as error:
            self.close()
            raise _unwritable(path, error) from error

    def append(self, records: Sequence[JournalRecord]) -> None:
        """Write ``records`` and wait until the disk has them; all or none."""
        if records:
            self.append_bytes(b"".join(line_of(record) for record in records))

    def append_bytes(self, data: bytes) -> None:
        """Write whole lines and wait until the disk has them; all or none."""
        if self._file is None:
            raise JournalUnwritable(f"The journal {self.where} is closed.")
        try:
            _write_all(self._file, data)
            os.fsync(self._file)
        except OSError as error:
            self._take_back(self._file)
            raise _unwritable(Path(self.where), error) from error
        self._size += len(data)

    def cut_to(self, size: int) -> None:
        """Drop everything after ``size`` bytes: the torn end of an earlier run."""
        assert self._file is not None
        self._size = size
        self._take_back(self._file)

    def close(self) -> None:
        """Close the file and release the lock; safe to call twice."""
        if self._file is not None:
            os.close(self._file)
            self._file = None
        self._lock.release()

    def _take_back(self, file: int) -> None:
        with contextlib.suppress(OSError):  # the reader forgives one torn line as well
            os.ftruncate(file, self._size)
            os.fsync(file)


def create_journal(folder: Path, list_id: str, when: datetime, mark: str) -> JsonlWriter:
    """Start a new file in ``folder``, named by time, list and ``mark`` (random letters)."""
    name = journal_name(list_id, when, mark)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / _LOCKS).mkdir(exist_ok=True)
    except OSError as error:
        raise _unwritable(folder, error) from error
    return JsonlWriter(folder / f"{name}.jsonl")


def journal_name(list_id: str, when: datetime, mark: str) -> str:
    """Return the name of a session and its journal."""
    name = re.sub(r"[^A-Za-z0-9-]+", "-", list_id).strip("-")[:40] or "list"
    return f"{when.astimezone(UTC):%Y%m%dT%H%M%SZ}-{name}-{mark}"


def reopen_journal(path: Path) -> tuple[JsonlWriter, JournalRead]:
    """Go on with a file, its torn last line (if any) cut off; raises JournalInUse."""
    (path.parent / _LOCKS).mkdir(exist_ok=True)
    writer = JsonlWriter(path, _REOPEN)
    try:
        found = read_journal(path)
        writer.cut_to(found.size)
    except BaseException:
        writer.close()
        raise
    return writer, found


def in_use(path: Path) -> bool:
    """Say whether a running session holds ``path``."""
    if not (path.parent / _LOCKS / f"{path.name}.lock").exists():
        return False
    try:
        locked(path).release()
    except JournalInUse:
        return True
    return False


def locked(path: Path, wait_s: float = 0.0) -> FileLock:
    """Return the lock of the journal at ``path``, held; raises JournalInUse after ``wait_s``."""
    lock = FileLock(path.parent / _LOCKS / f"{path.name}.lock")
    try:
        lock.acquire(timeout=wait_s)
    except Timeout as error:
        hint = "End that session first, or start a new one with: callout run"
        raise JournalInUse(f"Another session is writing to {path}.", hint) from error
    except OSError as error:
        raise _unwritable(path, error) from error
    return lock


def line_of(record: JournalRecord) -> bytes:
    """Return ``record`` as the line that is kept of it."""
    text = json.dumps(to_plain(record), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    # a lone surrogate (undecodable typing) becomes its JSON escape and reads back the same
    return text.encode("utf-8", "backslashreplace") + b"\n"


def _write_all(file: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(file, rest) :]


def sync_folder(folder: Path) -> None:
    """Wait until the disk has the names in ``folder`` too."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _unwritable(path: Path, error: OSError) -> JournalUnwritable:
    why = (error.strerror or str(error)).rstrip(".")
    hint = "Free some space or choose another folder with --journal-dir."
    return JournalUnwritable(f"The journal cannot be written to {path}: {why}.", hint)
