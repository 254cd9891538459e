"""Read a journal back; one torn last line is forgiven, nothing else is."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from callout.core.drill.records import DrillBegan
from callout.core.journal_records import Began, JournalRecord
from callout.core.record_codec import RecordInvalid, RecordTooNew, from_plain
from callout.core.sector.records import SectorBegan
from callout.errors import JournalDamaged

BEGINNINGS = (Began, SectorBegan, DrillBegan)
"""Records that a journal may begin with."""
MAX_LINE = 16_000_000
"""Bytes of one record; the longest a session writes is some tens of thousands."""
_UPGRADE = "Upgrade with: pip install --upgrade callout"


@dataclass(frozen=True, slots=True)
class JournalRead:
    """What a journal holds."""

    path: Path
    records: tuple[JournalRecord, ...]
    torn: str = ""
    """The unfinished last line, if there was one."""
    size: int = 0
    """Bytes up to and including the last whole record."""


def read_journal(path: Path) -> JournalRead:
    """Return all records of ``path``; raise JournalDamaged naming file and line."""
    records: list[JournalRecord] = []
    size = 0
    torn = ""
    for number, line, last in _lines(path):
        fields = _json(line)
        if fields is None or not line.endswith(b"\n"):
            if not last:
                raise _damaged(path, number, "it is not a JSON object")
            torn = line.decode("utf-8", "replace").rstrip("\n\0")
            break
        records.append(_record(path, number, fields))
        size += len(line)
    _in_order(path, records)
    return JournalRead(path, tuple(records), torn, size)


def _lines(path: Path) -> Iterator[tuple[int, bytes, bool]]:
    """Yield (number from 1, line, whether it is the last)."""
    try:
        with path.open("rb") as file:
            line, number = file.readline(MAX_LINE), 1
            while line:
                if len(line) == MAX_LINE:
                    raise _damaged(path, number, f"it is longer than {MAX_LINE:,} bytes")
                following = file.readline(MAX_LINE)
                yield number, line, not following
                line, number = following, number + 1
    except OSError as error:
        why = (error.strerror or str(error)).rstrip(".")
        raise JournalDamaged(f"The journal {path} cannot be read: {why}.") from error


def _json(line: bytes) -> dict[str, Any] | None:
    try:
        fields = json.loads(line)
    except (ValueError, RecursionError):
        return None
    return fields if isinstance(fields, dict) else None


def _record(path: Path, number: int, fields: dict[str, Any]) -> JournalRecord:
    try:
        return from_plain(fields)
    except RecordTooNew as error:
        raise JournalDamaged(f"{path}, line {number}: {error}.", _UPGRADE) from error
    except RecordInvalid as error:
        raise _damaged(path, number, str(error)) from error


def _in_order(path: Path, records: list[JournalRecord]) -> None:
    if records and not isinstance(records[0], BEGINNINGS):
        raise _damaged(path, 1, "a journal begins with a began record")
    for number, record in enumerate(records, 1):
        if record.seq != number:
            why = f"record {number} was expected here, not {record.seq}"
            raise _damaged(path, number, why)
        if number > 1 and isinstance(record, BEGINNINGS):
            raise _damaged(path, number, "a second session begins here")


def _damaged(path: Path, number: int, why: str) -> JournalDamaged:
    hint = "Keep the file as it is; the lines before it can still be read by other programs."
    return JournalDamaged(f"{path}, line {number} is damaged: {why}.", hint)
