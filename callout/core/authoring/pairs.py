"""Cards with each response under its challenge: set in, or level with it in blocks of two lines."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import median
from typing import Final

from callout.core.authoring.lines import Line, line_cells
from callout.core.authoring.ruled import rule_heights
from callout.core.authoring.splitting import BULLET, split_text, without_leads
from callout.core.paper.page import Cell, Page, Row, joined_origin

_SET_IN: Final = 1.5
"""How much farther right a response begins than its challenge, in letter heights."""
_ALIKE: Final = 0.7
"""Most that responses may differ in where they begin."""
_CLOSE: Final = 1.2
"""Most clear space between challenge and response."""
_FEWEST: Final = 3
_MOSTLY: Final = 0.6
"""Share of all rows that must be such pairs: else an indented line only goes on with another."""
_FARTHER: Final = 1.35
"""How much farther pairs are apart than the two lines of a pair."""


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
    response = Cell(without_leads(under.origin.text), first.left, last.right, sure)
    return replace(
        row,
        cells=(row.cells[0], response),
        origin=joined_origin(row.origin, under.origin),
        hole=row.hole or under.hole,
    )


def stacked_pairs(lines: Sequence[Line], page: Page, em: float) -> dict[int, tuple[Cell, Cell]]:
    """Return index of a challenge -> (challenge, response under it); empty unless most are so."""
    blocks = _blocks(lines, page, em)
    pairs = {
        block[0]: found
        for block in blocks
        if len(block) == 2 and (found := _pair(lines[block[0]], lines[block[1]], em)) is not None
    }
    many = len(pairs) >= _FEWEST and 2 * len(pairs) >= _MOSTLY * len(lines)
    return pairs if many else {}


def paired_bands(lines: Sequence[Line], pairs: Collection[int]) -> Iterator[list[Line]]:
    """Yield each pair together, and other lines alone."""
    for at, line in enumerate(lines):
        if at in pairs:
            yield [line, lines[at + 1]]
        elif at - 1 not in pairs:
            yield [line]


def _blocks(lines: Sequence[Line], page: Page, em: float) -> list[list[int]]:
    """Return the lines between two rules, or between two wide gaps, together."""
    rules = rule_heights(lines, page, em)
    steps = [b.box.middle - a.box.middle for a, b in pairwise(lines)]
    usual = min(steps, default=0.0)
    blocks: list[list[int]] = [[0]]
    for at, step in enumerate(steps):
        ruled = any(lines[at].box.middle < y < lines[at + 1].box.middle for y in rules)
        if ruled or step > _FARTHER * usual:
            blocks.append([])
        blocks[-1].append(at + 1)
    return blocks


def _pair(one: Line, other: Line, em: float) -> tuple[Cell, Cell] | None:
    """Return two lines as challenge and response; None if one of them is more than a cell."""
    first, second = line_cells(one, em)[0], line_cells(other, em)[0]
    if len(first) != 1 or len(second) != 1:
        return None
    texts = first[0].text, second[0].text
    if any(split_text(text).response or BULLET.match(text) for text in texts):
        return None
    middles = [(cell.left + cell.right) / 2 for cell in (first[0], second[0])]
    level = abs(first[0].left - second[0].left) < em / 2 or abs(middles[0] - middles[1]) < em
    return (first[0], second[0]) if level else None
