"""Replaces a damaged journal with one of its intact records; the damaged file is kept beside it."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from callout.core.checklist_run.records import Ended
from callout.core.checklist_run.replay import replay_list
from callout.core.conversation.records import SCHEMA_VERSION, JournalRecord, Suspended
from callout.core.drill.records import DrillBegan, DrillEnded
from callout.core.drill.state import replay_drill
from callout.core.flight_run.records import SectorBegan, SectorEnded
from callout.core.flight_run.replay import replay_sector
from callout.core.keeping.record_codec import RecordTooNew
from callout.core.sentences import journals
from callout.core.sentences import set_up as sentences
from callout.errors import CalloutError, JournalDamaged
from callout.journal.jsonl_reader import LOST, UPGRADE, Lost
from callout.journal.locked_file import (
    is_at,
    journal_unwritable,
    open_held,
    remove_quietly,
    sync_folder,
    write_all,
)
from callout.journal.misfits import MISFITS
from callout.journal.repairing import JournalPiece, Sorted, in_order, missing_between, sort_lines
from callout.journal.rewriting import free_name
from callout.journal.seals import START, seal_line

_ENDINGS = (Ended, SectorEnded, DrillEnded)
_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL


@dataclass(frozen=True, slots=True)
class Repaired:
    """What a repair did."""

    path: Path
    kept: int
    """Records in the journal now."""
    bad: tuple[tuple[int, str], ...] = ()
    """Number of each incomplete line, and why."""
    lost: tuple[Lost, ...] = ()
    """Records missing between those kept."""
    after: int = 0
    """Intact records left out because an earlier one is missing."""
    since: datetime | None = None
    """Time of the first of those left out."""
    torn: bool = False
    original: Path | None = None
    """Where the damaged file is now; None: nothing was wrong, and nothing was done."""


def repair_journal(path: Path) -> Repaired:
    """Make a journal of the intact records in ``path``; raises CalloutError if nothing can be kept.

    A finished one keeps all intact records, with a line for those lost. One that can be continued
    ends before the first loss: later items are asked again, since nobody knows what the lost
    records changed.
    """
    path = path.resolve()  # a link stays a link
    held = open_held(path, os.O_RDWR)
    try:
        return _repair_held(path, held)
    finally:
        os.close(held)


def _repair_held(path: Path, held: int) -> Repaired:
    found = _sorted_pieces(path)
    pieces = in_order(found)
    if not pieces or pieces[0].record.seq != 1:
        hint = sentences.NOTHING_CHANGED
        said = journals.first_record_damaged(path)
        raise CalloutError(said, hint)
    missing = missing_between(pieces)
    if not (found.bad or found.torn or missing):
        return Repaired(path, len(pieces))
    whole = not missing or _makes_sense(pieces)
    kept = pieces if whole else pieces[: missing[0].first - 1]
    left = pieces[len(kept) :]
    lost = missing if whole else ()
    pairs = [(piece.record.seq, piece.body) for piece in kept]
    original = _replace_journal(path, held, journal_bytes(pairs, lost))
    since = left[0].record.utc if left else None
    bad = tuple(found.bad)
    return Repaired(path, len(kept), bad, lost, len(left), since, found.torn, original)


def _sorted_pieces(path: Path) -> Sorted:
    try:
        return sort_lines(path)
    except RecordTooNew as error:
        raise JournalDamaged(f"{path}: {error}.", UPGRADE) from error


def _makes_sense(pieces: Sequence[JournalPiece]) -> bool:
    """Say whether the remaining records came to an end and can be read as a session."""
    records = tuple(piece.record for piece in pieces)
    left_drill = isinstance(records[0], DrillBegan) and isinstance(records[-1], Suspended)
    if not isinstance(records[-1], _ENDINGS) and not left_drill:  # no drill is resumed
        return False
    try:
        _replay_records(records)
    except MISFITS:
        return False
    return True


def _replay_records(records: tuple[JournalRecord, ...]) -> object:
    match records[0]:
        case SectorBegan():
            return replay_sector(records)
        case DrillBegan():
            return replay_drill(records)
        case _:
            return replay_list(records)


def journal_bytes(kept: Iterable[tuple[int, bytes]], lost: Sequence[Lost]) -> bytes:
    """Return the lines of a journal, chained again, from numbers and bodies of its records."""
    gone = {loss.last + 1: loss for loss in lost}
    lines, last = [], START
    for number, body in kept:
        loss = gone.get(number)
        for each in (_lost_body(loss), body) if loss else (body,):
            line, last = seal_line(each, last)
            lines.append(line)
    return b"".join(lines)


def _lost_body(loss: Lost) -> bytes:
    fields = {"schema": SCHEMA_VERSION, "type": LOST, "first": loss.first, "last": loss.last}
    return json.dumps(fields, separators=(",", ":")).encode()


def _replace_journal(path: Path, held: int, data: bytes) -> Path:
    """Put ``data`` at ``path`` and return where the old file is now."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    remove_quietly(beside)
    new = open_held(beside, _NEW)
    try:
        write_all(new, data)
        os.fsync(new)
        if not is_at(held, path):
            raise OSError("another file took its place")
        original = free_name(path, "damaged")
        os.rename(path, original)
        os.replace(beside, path)
        sync_folder(path.parent)
    except OSError as error:
        remove_quietly(beside)
        raise journal_unwritable(path, error) from error
    finally:
        os.close(new)
    return original
