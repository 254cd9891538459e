"""Reads a journal back; one torn last line is forgiven, nothing else is."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

from callout.core.checklist_run.records import Began
from callout.core.conversation.records import JournalRecord
from callout.core.drill.records import DrillBegan
from callout.core.flight_run.records import SectorBegan
from callout.core.keeping.quick_reading import quick_record, quick_records
from callout.core.keeping.record_codec import RecordInvalid, RecordTooNew, from_plain
from callout.core.sentences import journals as sentences
from callout.errors import JournalDamaged, JournalUnreadable
from callout.journal.seals import DIGITS, START, UNSEALED, Chain, chain_sum, is_sealed
from callout.regular import open_regular

BEGINNINGS = (Began, SectorBegan, DrillBegan)
"""Records with which a journal may begin."""
MAX_LINE = 16_000_000
"""Bytes of one record; the longest a session writes is some tens of thousands."""
MAX_SIZE = 256_000_000
"""Bytes of one journal; ten thousand replies make five million."""
_QUICK = 4_000_000
"""Bytes of a journal that is read in one go."""
LOST = "lost"
"""Type of the line that a repair puts in place of lost records."""
UPGRADE = "Upgrade with: pip install --upgrade callout"
"""The remedy for a journal of a later version."""


@dataclass(frozen=True, slots=True)
class Lost:
    """Records that a repair could not save."""

    first: int
    """Number (``seq``) of the first lost record."""
    last: int
    """Number of the last one, inclusive."""

    @property
    def count(self) -> int:
        """Number of lost records."""
        return self.last - self.first + 1


@dataclass(frozen=True, slots=True)
class JournalRead:
    """The contents of a journal."""

    path: Path
    records: tuple[JournalRecord, ...]
    torn: str = ""
    """The unfinished last line, if there was one."""
    size: int = 0
    """Bytes up to and including the last complete record."""
    sealed: str = START
    """Seal of the last complete line."""
    lost: tuple[Lost, ...] = ()


class Damage(Exception):
    """A line that is not as it was written; the text says why."""


class Reader:
    """Takes the lines of a journal in order."""

    def __init__(self) -> None:
        self.chain = Chain()
        self.records: list[JournalRecord] = []
        self.lost: list[Lost] = []
        self.following = 1
        """Number of the next record."""

    def take(self, line: bytes) -> None:
        """Take a complete line; raises Damage or RecordTooNew, and then has not taken it."""
        quick = quick_record(line)
        if quick is not None:
            if wrong := self.chain.take(line):
                raise Damage(wrong)
            self._take_record(quick)
            return
        fields = json_of(line)
        if fields is None:
            raise Damage("it is not a JSON object")
        wrong = self.chain.take(line)
        if wrong == UNSEALED:
            with suppress(Damage):
                record_of(fields)  # a later version may seal in another way
        if wrong:
            raise Damage(wrong)
        if fields.get("type") == LOST:
            self._take_lost(fields)
        else:
            self._take_record(record_of(fields))

    def _take_record(self, record: JournalRecord) -> None:
        if not self.records and not isinstance(record, BEGINNINGS):
            raise Damage("a journal must begin with its began record")
        if record.seq != self.following:
            raise Damage(
                f"record {self.following} was expected here, not {short_number(record.seq)}"
            )
        if self.records and isinstance(record, BEGINNINGS):
            raise Damage("a second session begins here")
        self.records.append(record)
        self.following += 1

    def _take_lost(self, fields: dict[str, Any]) -> None:
        first, last = fields.get("first"), fields.get("last")
        if first != self.following or not isinstance(last, int) or not first <= last < MAX_SIZE:
            raise Damage("it does not say which records are lost")
        self.lost.append(Lost(first, last))
        self.following = last + 1


def read_journal(path: Path) -> JournalRead:
    """Return all records of ``path``; raise JournalDamaged naming file and line."""
    try:
        with open_regular(path) as file:
            quick = _read_quickly(path, file.read(_size_to_read(file)))
            if quick:
                return quick
            file.seek(0)
            return _read_closely(path, file)
    except OSError as error:
        why = (error.strerror or str(error)).rstrip(".")
        raise JournalUnreadable(sentences.journal_unreadable(path, why)) from error


def _size_to_read(file: BinaryIO) -> int:
    """Return the bytes to read in one go; asking for far too many costs more than reading few."""
    return min(os.fstat(file.fileno()).st_size + 1, _QUICK)


def _read_quickly(path: Path, data: bytes) -> JournalRead | None:
    """Return a journal in which there is nothing to find fault with; None: look closer."""
    lines = data.split(b"\n")
    if len(data) >= _QUICK or lines.pop() or not lines:
        return None
    records, sealed = quick_records(lines, data), chain_sum(lines, data)
    if not records or sealed is None or not isinstance(records[0], BEGINNINGS):
        return None
    for number, record in enumerate(records, start=1):
        if record.seq != number or (number > 1 and isinstance(record, BEGINNINGS)):
            return None
    return JournalRead(path, tuple(records), "", len(data), sealed)


def _read_closely(path: Path, file: BinaryIO) -> JournalRead:
    reader, size, torn = Reader(), 0, ""
    for number, line, last in lines_of(path, file):
        try:
            if last and is_torn(line, reader.chain.began):
                torn = line.decode("utf-8", "replace").rstrip("\n\0")
                break
            reader.take(line)
        except RecordTooNew as error:
            raise JournalDamaged(f"{path}, line {number}: {error}.", UPGRADE) from error
        except Damage as error:
            raise _journal_damaged(path, number, str(error)) from error
        size += len(line)
    lost = tuple(reader.lost)
    return JournalRead(path, tuple(reader.records), torn, size, reader.chain.last, lost)


def is_torn(line: bytes, seals: bool) -> bool:
    """Say whether the writing of the last line was interrupted.

    seals: True if the lines before it are sealed; an interrupted line then has no complete seal or
    line end.
    """
    if not line.endswith(b"\n"):
        return not ends_sealed(line)
    return not (seals or is_sealed(line)) and json_of(line) is None


def ends_sealed(line: bytes) -> bool:
    """Say whether a last line without a line end is a complete sealed one with something after
    it.
    """
    _, found, rest = line.rstrip(b"\0").partition(b'","sum":"')
    return bool(found) and len(rest) > DIGITS + len('"}')


def json_of(line: bytes) -> dict[str, Any] | None:
    """Return the object in a line; None if there is none."""
    try:
        fields = json.loads(line)
    except (ValueError, RecursionError):
        return None
    return fields if isinstance(fields, dict) else None


def record_of(fields: dict[str, Any]) -> JournalRecord:
    """Return the record in ``fields``; raises Damage or RecordTooNew."""
    try:
        return from_plain(fields)
    except RecordTooNew:
        raise
    except RecordInvalid as error:
        raise Damage(str(error)) from error


def lines_of(path: Path, file: BinaryIO) -> Iterator[tuple[int, bytes, bool]]:
    """Yield (number from 1, line, whether it is the last) of an open journal."""
    line, number, size = file.readline(MAX_LINE), 1, 0
    while line:
        size += len(line)
        if len(line) == MAX_LINE:
            raise _journal_damaged(path, number, f"it is longer than {MAX_LINE:,} bytes")
        if size > MAX_SIZE:
            raise JournalDamaged(sentences.journal_too_long(path, MAX_SIZE))
        following = file.readline(MAX_LINE)
        yield number, line, not following
        line, number = following, number + 1


def short_number(number: int) -> str:
    """Return a number as text, shortened if it is very long."""
    return str(number) if abs(number) < 10**12 else "one of more than twelve digits"


def _journal_damaged(path: Path, number: int, why: str) -> JournalDamaged:
    hint = f"Save the undamaged part with: callout journal --repair {path}"
    return JournalDamaged(sentences.line_is_damaged(path, number, why), hint)
