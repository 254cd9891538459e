"""Cards with each response under its challenge, set in: two rows are one item."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import median
from typing import Final

from callout.core.authoring.joining import joined_origin
from callout.core.authoring.page import Cell, Row

_SET_IN: Final = 1.5
"""How much farther right a response begins than its challenge, in letter heights."""
_ALIKE: Final = 0.7
"""Most that responses may differ in where they begin."""
_CLOSE: Final = 1.2
"""Most clear space between challenge and response."""
_FEWEST: Final = 3
_MOSTLY: Final = 0.6
"""Share of all rows that must be such pairs: else an indented line only goes on with another."""


def paired_rows(rows: Sequence[Row]) -> list[Row]:
    """Return ``rows`` with each challenge and the response under it joined, if most are pairs."""
    pairs = set(_pairs(rows))
    if len(pairs) < _FEWEST or 2 * len(pairs) < _MOSTLY * len(rows):
        return list(rows)
    made: list[Row] = []
    for at, row in enumerate(rows):
        if at - 1 in pairs:
            made[-1] = _joined(made[-1], row)
        else:
            made.append(row)
    return made


def _pairs(rows: Sequence[Row]) -> Iterator[int]:
    """Yield the index of each challenge that has a response under it."""
    steps = {at: _step(rows, at) for at in range(len(rows) - 1)}
    inward = [step for step in steps.values() if step >= _SET_IN]
    if not inward:
        return
    usual = median(inward)
    last = -2
    for at, step in steps.items():
        if abs(step - usual) < _ALIKE and at - 1 != last and len(rows[at].cells) == 1:
            last = at
            yield at


def _step(rows: Sequence[Row], at: int) -> float:
    """Return how much farther right the row after ``at`` begins; 0 if it is not close to it."""
    row, under = rows[at], rows[at + 1]
    near = row.origin.page == under.origin.page and under.gap < _CLOSE
    return under.indent - row.indent if near and not under.bullet and not under.leader else 0.0


def _joined(row: Row, under: Row) -> Row:
    first, last = under.cells[0], under.cells[-1]
    sure = min(cell.sure for cell in under.cells)
    response = Cell(under.origin.text, first.left, last.right, sure)
    return replace(
        row,
        cells=(row.cells[0], response),
        origin=joined_origin(row.origin, under.origin),
        hole=row.hole or under.hole,
    )
