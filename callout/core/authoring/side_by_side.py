"""Several names in one line, each followed by a blank of its own: as many items."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from callout.core.authoring.likely import challenge_likeness, response_likeness
from callout.core.authoring.quantities import is_label, unit_end
from callout.core.authoring.splitting import BULLET
from callout.core.paper.page import LEFT_OPEN, Box, Cell, Origin, Row

_RUN: Final = re.compile(r"_{2,}(?:\s?[.:,]\s?_{1,2}(?!_))*")
_NAMED: Final = re.compile(r"([^_]{2,40}?)((?:_{2,}\s*/?\s*)+[^_]{0,8})")
"""A name, its blanks and their unit."""
_LONG: Final = 15
"""Underscores that may lead to a response too."""
_AROUND: Final = " ,;|/:.\u2026\u2013\u2014-\t"
_LEADS: Final = re.compile(r"[.\u2026]{2,}")
_MOST_WORDS: Final = 5
_THING: Final = 0.75
_STATE: Final = 0.8


@dataclass(frozen=True, slots=True)
class _Piece:
    """A name and its blank, as they stand in the text of the line."""

    name: str
    value: str
    start: int
    end: int


def blanks_apart(rows: Iterable[Row]) -> Iterator[Row]:
    """Yield rows; those of several names, each with a blank after it, one name at a time."""
    for row in rows:
        if (cells := _own_blanks(row)) is not None:
            yield from cells
            continue
        found = _pieces(row.origin.text)
        if not row.heading and len(found) > 1 and _are_items(found, row):
            yield from _divided(found, row)
        else:
            yield row


def _own_blanks(row: Row) -> list[Row] | None:
    """Return the cells of a line as items if each of them is a name with its own blanks."""
    found = [_NAMED.fullmatch(cell.text.strip()) for cell in row.cells]
    names = [match[1].strip(_AROUND) if match else "" for match in found]
    plain = all(name[:1].isupper() and unit_end(name) < len(name) for name in names)
    plain = plain and any(map(_is_thing, names)) and all(map(_may_be_thing, names))
    if len(names) < 2 or not plain or len({name.casefold() for name in names}) < len(names):
        return None
    if all(map(is_label, names)) or row.origin.box is None:
        return None
    made = []
    for cell, match, name in zip(row.cells, found, names, strict=True):
        box = replace(row.origin.box, left=cell.left, right=cell.right)
        value = match[2].strip() if match else ""
        led = LEFT_OPEN.search(row.origin.text) if cell is row.cells[-1] else None  # in no cell
        text = f"{cell.text} {led[0]}" if led and not cell.text.endswith("_") else cell.text
        origin = Origin(row.origin.page, row.origin.line, text, box)
        cells = (replace(cell, text=name), replace(cell, text=value))
        made.append(replace(row, cells=cells, origin=origin, leader=False, line=False, hole=False))
    return made


def _pieces(text: str) -> list[_Piece]:
    """Return each name with its blank and unit; none if other words stand between."""
    bullet = BULLET.match(text)
    runs = list(_RUN.finditer(text))
    found: list[_Piece] = []
    start, at = 0, bullet.end() if bullet else 0
    for number, run in enumerate(runs):
        after = text[run.end() : runs[number + 1].start() if number + 1 < len(runs) else None]
        end = run.end() + unit_end(after)
        value = f"____ {text[run.end() : end].strip()}".strip()
        if number + 1 == len(runs):
            tail = text[end:].strip(_AROUND)
            if tail and response_likeness(tail) < _STATE:
                return []
            value, end = f"{value} {tail}".strip(), len(text)
        found.append(_Piece(text[at : run.start()].strip(_AROUND), value, start, end))
        start = at = end
    return found


def _are_items(found: Sequence[_Piece], row: Row) -> bool:
    """Say whether each name is that of a thing, set like the others."""
    names = [piece.name for piece in found]
    cells = [BULLET.sub("", cell.text).strip(_AROUND) for cell in row.cells]
    alone = all(any(cell.startswith(name) for cell in cells) for name in names)
    if not all(map(_is_thing, names)) or len({name.casefold() for name in names}) < len(names):
        return False
    if not all(any(cell.startswith((name, "_")) for name in names) for cell in cells if cell):
        return False  # a gap within a name: it is a challenge and the label of a value
    if row.leader and not alone:
        return False  # dots lead from the first name to a response of several values
    long = any(len(run[0]) >= _LONG for run in _RUN.finditer(row.origin.text))
    if long and any(response_likeness(name.split()[0]) > _STATE for name in names[1:]):
        return False  # the run led to that state
    labels = [is_label(name) for name in names]
    if any(labels):
        return all(labels) and alone
    return alone or not "".join(names).isupper()


def _is_thing(name: str) -> bool:
    words = name.split()
    named = name[:1].isupper() and len(words) <= _MOST_WORDS and not _LEADS.search(name)
    return named and (is_label(name) or challenge_likeness(name) >= _THING)


def _may_be_thing(name: str) -> bool:
    """Say whether a name beside that of a thing may be one: "Minimum" is a state elsewhere."""
    return _is_thing(name) or re.fullmatch(r"[A-Z][a-z]{4,}", name) is not None


def _divided(found: Sequence[_Piece], row: Row) -> Iterator[Row]:
    sure = min(cell.sure for cell in row.cells)
    for number, piece in enumerate(found):
        text = row.origin.text[piece.start : piece.end].strip()
        box = _box_of(number, found, row)
        left, right = (box.left, box.right) if box else (0.0, 0.0)
        yield replace(
            row,
            cells=(Cell(piece.name, left, right, sure), Cell(piece.value, left, right, sure)),
            origin=Origin(row.origin.page, row.origin.line, text, box),
            gap=row.gap if number == 0 else 0.0,
            leader=False,
            line=False,
            hole=False,
        )


def _box_of(number: int, found: Sequence[_Piece], row: Row) -> Box | None:
    """Return where a name and its blank stand; the whole line if no gap shows it."""
    box = row.origin.box
    lefts = [
        next((cell.left for cell in row.cells if cell.text.startswith(piece.name)), None)
        for piece in found
    ]
    if box is None or any(left is None for left in lefts[1:]):
        return box
    edges = [box.left, *(left for left in lefts[1:] if left is not None), box.right]
    if any(one >= two for one, two in pairwise(edges)):
        return box
    return replace(box, left=edges[number], right=edges[number + 1])
