"""Finds the intact part of a damaged journal, and makes a journal of it.

A record counts as intact if its line matches its checksum and a neighbour in the chain agrees with
it, wherever the line is. Lines of earlier versions have no checksum: there any valid record counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from callout.core.conversation.records import JournalRecord
from callout.core.sentences import journals as sentences
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import (
    BEGINNINGS,
    LOST,
    MAX_SIZE,
    Damage,
    Lost,
    is_torn,
    json_of,
    lines_of,
    record_of,
)
from callout.journal.seals import START, UNSEALED, is_sealed, unseal_line
from callout.regular import open_regular


@dataclass(frozen=True, slots=True)
class JournalPiece:
    """One line that is a record by itself."""

    number: int
    """Of the line, from 1."""
    record: JournalRecord
    body: bytes
    named: str = ""
    """Seal of the previous record, as given; empty for a line of an earlier version."""
    own: str = ""


@dataclass(slots=True)
class Sorted:
    """The lines of a journal, good and bad."""

    pieces: list[JournalPiece] = field(default_factory=list)
    bad: list[tuple[int, str]] = field(default_factory=list)
    """Number of a line, and what is wrong with it."""
    torn: bool = False


def sort_lines(path: Path) -> Sorted:
    """Return the lines of ``path``; raises JournalDamaged, or RecordTooNew."""
    found = Sorted()
    try:
        with open_regular(path) as file:
            for number, line, last in lines_of(path, file):
                _sort_line(found, number, line, last)
    except OSError as error:
        why = (error.strerror or str(error)).rstrip(".")
        raise JournalDamaged(sentences.journal_unreadable(path, why)) from error
    return found


def _sort_line(found: Sorted, number: int, line: bytes, last: bool) -> None:
    if last and is_torn(line, bool(found.pieces and found.pieces[-1].own)):
        found.torn = True
        return
    try:
        piece = _journal_piece(number, line)
    except Damage as error:
        found.bad.append((number, str(error)))
    else:
        found.pieces += [piece] if piece else []


def _journal_piece(number: int, line: bytes) -> JournalPiece | None:
    """Return the contents of a line; None for what an earlier repair put there."""
    seal = unseal_line(line)
    if seal is None and is_sealed(line):
        raise Damage("its checksum does not fit")
    fields = json_of(line)
    if fields is None:
        raise Damage("it is not a JSON object")
    if seal and fields.get("type") == LOST:
        return None
    record = record_of(fields)
    if not 0 < record.seq < MAX_SIZE:
        raise Damage("its number is impossible")
    body, named, own = seal or (line.rstrip(b"\n"), "", "")
    return JournalPiece(number, record, body, named, own)


def in_order(found: Sorted) -> list[JournalPiece]:
    """Return the pieces that belong to the journal, in order of their numbers; the others become
    bad.
    """
    by_seq: dict[int, list[JournalPiece]] = {}
    for piece in found.pieces:
        by_seq.setdefault(piece.record.seq, []).append(piece)
    first_sealed = min((p.record.seq for p in found.pieces if p.own), default=MAX_SIZE)
    kept = []
    for seq, rivals in sorted(by_seq.items()):
        neighbours = (by_seq.get(seq - 1, []), by_seq.get(seq + 1, []))
        best = max(rivals, key=lambda piece: _count_links(piece, *neighbours))
        reason = _what_is_wrong(best, neighbours, first_sealed)
        found.bad += [(p.number, "it appears twice") for p in rivals if p is not best]
        if reason:
            found.bad.append((best.number, reason))
        else:
            kept.append(best)
    _note_order(found, kept)
    found.bad.sort()
    return kept


def _note_order(found: Sorted, kept: Iterable[JournalPiece]) -> None:
    furthest = 0
    for piece in kept:
        if piece.number < furthest:
            found.bad.append((piece.number, "it is in the wrong place"))
        furthest = max(furthest, piece.number)


def _count_links(
    piece: JournalPiece, before: Iterable[JournalPiece], after: Iterable[JournalPiece]
) -> int:
    back = any(piece.named == other.own for other in before) or piece.named == START
    return back + any(other.named == piece.own for other in after)


def _what_is_wrong(
    piece: JournalPiece, near: tuple[list[JournalPiece], list[JournalPiece]], first_sealed: int
) -> str:
    begins = isinstance(piece.record, BEGINNINGS)
    if begins != (piece.record.seq == 1):
        return (
            "a second session begins here"
            if begins
            else "a journal must begin with its began record"
        )
    if not piece.own:
        return UNSEALED if piece.record.seq > first_sealed else ""
    alone = not any(other.own for others in near for other in others)
    return "" if alone or _count_links(piece, *near) else "no other record agrees with it"


def missing_between(kept: Sequence[JournalPiece]) -> tuple[Lost, ...]:
    """Return what is missing between the pieces."""
    numbers = [piece.record.seq for piece in kept]
    pairs = zip([0, *numbers], numbers, strict=False)
    return tuple(Lost(a + 1, b - 1) for a, b in pairs if b > a + 1)
