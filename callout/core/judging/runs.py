"""Numbers inside a reply: where they start and end, and the unit said with them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from callout.core.language.numbers import NumberReading, read_number
from callout.core.language.tables import Piece, PieceKind, Tables
from callout.core.language.words import Token, phrase_at
from callout.core.model.expectation import ValueKind

_SCALES = (PieceKind.HUNDRED, PieceKind.THOUSAND)
_LONGEST_NUMBER = 14
_USUAL_DIGITS = {ValueKind.FLIGHT_LEVEL: 3}
_PREPOSITIONS = ("to", "for")
"""Digits by sound that are usually prepositions."""


@dataclass(frozen=True, slots=True)
class WordRun:
    """A number found in a reply: tokens ``start`` to ``end``."""

    start: int
    end: int
    reading: NumberReading
    unit: str | None
    after: int
    """Index of the first token after the number and its unit."""


def number_runs(tokens: tuple[Token, ...], i: int, tables: Tables) -> Iterator[WordRun]:
    """Yield the numbers that start at token ``i``, longest first."""
    spans = list(_number_spans(tokens, i, tables))
    for end, pieces in reversed(spans):
        reading = read_number(pieces)
        if reading is None or _too_soft(tokens, i, end):
            continue
        found = phrase_at(tokens, end, tables.unit_words) if end < len(tokens) else None
        unit = found[1][0] if found else None
        yield WordRun(i, end, reading, unit, end + (found[0] if found else 0))


def _too_soft(tokens: tuple[Token, ...], i: int, end: int) -> bool:
    """A lone "oh" is a sigh; "for two" may be "forty two", while "to seven zero" is 270."""
    if tokens[i].text in ("oh", "o"):
        return end - i == 1
    before = i > 0 and tokens[i - 1].piece is not None
    if tokens[i].text not in _PREPOSITIONS or before or end - i != 2:
        return False
    following = tokens[i + 1].piece
    return following is None or following.kind not in _SCALES  # "for thousand feet"


def _number_spans(
    tokens: tuple[Token, ...], i: int, tables: Tables
) -> Iterator[tuple[int, tuple[Piece, ...]]]:
    pieces: list[Piece] = []
    at = i
    while at < len(tokens) and at - i < _LONGEST_NUMBER:
        token = tokens[at]
        piece = token.piece
        if piece is None and pieces and _is_half(tokens, at):
            pieces.append(Piece(PieceKind.HALF))
            at += 3
            yield at, tuple(pieces)
            if at < len(tokens) and (last := tokens[at].piece) and last.kind is PieceKind.THOUSAND:
                yield at + 1, (*pieces, last)
            return
        if piece is None:
            if not _inside_number(tokens, at, pieces, tables):
                return
            if token.text == "a":
                pieces.append(Piece(PieceKind.DIGIT, "1"))
            at += 1
            continue
        if at == i and not _may_start(tokens, at, piece, tables):
            return
        pieces.append(piece)
        at += 1
        yield at, tuple(pieces)
        if token.text == "negative" and at < len(tokens) and tokens[at].pause:
            return  # "negative, twelve" begins with a no


def _may_start(tokens: tuple[Token, ...], at: int, piece: Piece, tables: Tables) -> bool:
    if piece.kind in _SCALES:  # a bare "hundred" is one hundred, but never after a digit
        return at == 0 or tokens[at - 1].piece is None
    return not piece.soft or _soft_start(tokens, at, tables)


def _is_half(tokens: tuple[Token, ...], at: int) -> bool:
    return [t.text for t in tokens[at : at + 3]] == ["and", "a", "half"]


def _inside_number(tokens: tuple[Token, ...], at: int, pieces: list[Piece], tables: Tables) -> bool:
    """Hesitations inside a number; "and" after hundred or thousand; "a" before them."""
    text = tokens[at].text
    following = tokens[at + 1].piece if at + 1 < len(tokens) else None
    if text == "a":
        scale = following is not None and following.kind in _SCALES
        return scale and (not pieces or pieces[-1].kind in _SCALES)
    if not pieces or following is None:
        return False
    if text == "and":
        return pieces[-1].kind in _SCALES and not following.soft
    return text in tables.hesitations


def _soft_start(tokens: tuple[Token, ...], at: int, tables: Tables) -> bool:
    """ "To", "for", "oh" begin a number only at the start, after a number, or alone at the end."""
    before = [t for t in tokens[:at] if t.text not in tables.hesitations | tables.courtesies]
    if not before or before[-1].piece is not None:
        return True
    following = tokens[at + 1].piece if at + 1 < len(tokens) else None
    if tokens[at].text not in _PREPOSITIONS and following is not None:
        return True
    if before[-1].text not in tables.labels:
        return False
    return at + 1 == len(tokens) or _label_counts(tokens, at, before[-1].text, tables)


def _label_counts(tokens: tuple[Token, ...], at: int, name: str, tables: Tables) -> bool:
    """ "Heading to seven five": three digits are expected, so "to" is one of them."""
    label = tables.label_kinds[tables.labels[name][-1][1][0]]
    end = at
    while end < len(tokens) and tokens[end].piece and not tokens[end].pause:
        end += 1
    digits = [t.piece for t in tokens[at:end] if t.piece]
    due = label.digits or _USUAL_DIGITS.get(label.kinds[0])
    return due == len(digits) and all(p.kind is PieceKind.DIGIT for p in digits)


def runs_in(tokens: tuple[Token, ...], tables: Tables) -> list[WordRun]:
    """Return the numbers said, in order, longest first at each position."""
    out: list[WordRun] = []
    i = 0
    while i < len(tokens):
        run = next(number_runs(tokens, i, tables), None)
        if run is not None:
            out.append(run)
        i = run.after if run else i + 1
    return out
