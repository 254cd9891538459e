"""One session's records, one JSON object per line, on disk before anything else happens."""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from callout.core.conversation.records import JournalRecord
from callout.core.keeping.record_codec import to_plain
from callout.core.sentences import journals as sentences
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.locked_file import (
    in_use,
    is_at,
    journal_unwritable,
    open_held,
    sync_folder,
    write_all,
)
from callout.journal.rewriting import Copy, written_anew
from callout.journal.seals import START, seal_line
from callout.outlet import harmless_text
from callout.ports.journal import JournalUnwritable
from callout.regular import open_regular

__all__ = ["JsonlWriter", "create_journal", "in_use", "journal_name", "line_of", "reopen_journal"]
_CREATE = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL
_REOPEN = os.O_WRONLY | os.O_APPEND


class JsonlWriter:
    """Appends to one file that no other session may write to.

    A write that fails half-way is undone, so that the file always ends with a complete line. A file
    that is removed, replaced or changed meanwhile is rewritten from memory.
    """

    def __init__(self, path: Path, flags: int = _CREATE, wait_s: float = 0.0) -> None:
        self.where = str(path)
        self._path = path.resolve()
        self._last = START
        self._news: list[str] = []
        self._copy = Copy()
        self._torn = False
        self._file: int | None = open_held(self._path, flags, wait_s)
        self._watched = is_at(self._file, self._path)
        try:
            self._size = os.fstat(self._file).st_size
            sync_folder(self._path.parent)
        except OSError as error:
            self.close()
            raise journal_unwritable(path, error) from error
        self._copied = not self._size

    @property
    def latest(self) -> Path:
        """The file."""
        return self._path

    def append(self, records: Sequence[JournalRecord]) -> None:
        """Write ``records`` and wait until they are on disk; all or none."""
        lines, last = [], self._last
        for record in records:
            line, last = seal_line(body_of(record), last)
            lines.append(line)
        if lines:
            self.append_bytes(b"".join(lines))
            self._last = last

    def append_bytes(self, data: bytes) -> None:
        """Write complete lines and wait until they are on disk; all or none."""
        if self._file is None:
            raise JournalUnwritable(sentences.journal_closed(self.where))
        try:
            file = self._file = self._in_place(self._file)
            write_all(file, data)
            os.fsync(file)
        except OSError as error:
            self._take_back()
            raise journal_unwritable(Path(self.where), error) from error
        self._size += len(data)
        self._copy.add(data)

    def go_on_after(self, found: JournalRead) -> None:
        """Drop the torn end of an earlier run, and continue its chain."""
        assert self._file is not None
        with open_regular(self._path) as file:
            self._copy.add(file.read(found.size))
        self._copied = is_at(self._file, self._path)
        self._last = found.sealed
        self.cut_to(found.size)

    def is_in_place(self) -> bool:
        """Say whether the open file is the one at its path."""
        return self._file is not None and is_at(self._file, self._path)

    def cut_to(self, size: int) -> None:
        """Truncate to ``size`` bytes."""
        self._size = size
        self._take_back()

    def look(self) -> None:
        """Make sure that the file is in place; what fails now is tried again at the next record."""
        if self._file is not None:
            with contextlib.suppress(OSError, JournalUnwritable):
                self._file = self._in_place(self._file)

    def news(self) -> str:
        """Return what has happened to the file since the last call; usually empty."""
        said = " ".join(self._news)
        self._news.clear()
        return said

    def close(self) -> None:
        """Close the file, which releases its lock; safe to call twice."""
        if self._file is not None:
            os.close(self._file)
            self._file = None

    def _in_place(self, file: int) -> int:
        """Make sure that the records so far are in place; return the file that holds them."""
        if self._torn:
            os.ftruncate(file, self._size)
            self._torn = False
        same = os.fstat(file).st_size == self._size and is_at(file, self._path)
        if same or not self._watched:
            return file
        if not self._copied:
            raise OSError("another file took its place")
        new, said = written_anew(self._path, self._copy, file)
        os.close(file)
        self._news.append(said)
        return new

    def _take_back(self) -> None:
        """Truncate the file at the end of its last complete line; the reader forgives one torn line
        too.
        """
        if self._file is None:
            return
        try:
            os.ftruncate(self._file, self._size)
            os.fsync(self._file)
        except OSError:
            self._torn = True


def create_journal(folder: Path, list_id: str, when: datetime, mark: str) -> JsonlWriter:
    """Create a new file in ``folder``, named by time, list and ``mark`` (random letters)."""
    name = journal_name(list_id, when, mark)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise journal_unwritable(folder, error) from error
    return JsonlWriter(folder / f"{name}.jsonl")


def journal_name(list_id: str, when: datetime, mark: str) -> str:
    """Return the name of a session and its journal."""
    name = re.sub(r"[^A-Za-z0-9-]+", "-", list_id).strip("-")[:40] or "list"
    return f"{when.astimezone(UTC):%Y%m%dT%H%M%SZ}-{name}-{mark}"


def reopen_journal(path: Path) -> tuple[JsonlWriter, JournalRead]:
    """Continue a file after removing its torn last line (if any); raises JournalInUse."""
    for last in (False, False, True):
        writer = JsonlWriter(path, _REOPEN)
        try:
            found = read_journal(path)
            if writer.is_in_place() or last:  # else another file has taken its place meanwhile
                writer.go_on_after(found)
                return writer, found
        except BaseException:
            writer.close()
            raise
        writer.close()
    raise AssertionError("the last one is taken")


def line_of(record: JournalRecord) -> bytes:
    """Return ``record`` as an unsealed line, as versions before the checksums wrote it."""
    return body_of(record) + b"\n"


def body_of(record: JournalRecord) -> bytes:
    """Return ``record`` as a JSON object."""
    text = json.dumps(to_plain(record), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    # controls, direction marks and lone surrogates become JSON escapes and read back unchanged
    return harmless_text(text).encode()
