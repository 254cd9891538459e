"""Cards whose lines stand in pairs, each response under its challenge and level with it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise
from typing import Final

from callout.core.authoring.lines import Line, line_cells
from callout.core.authoring.page import Cell, Page
from callout.core.authoring.ruled import rule_heights
from callout.core.authoring.splitting import BULLET, split_text

_FEWEST: Final = 3
_MOSTLY: Final = 0.6
"""Share of the lines of a column that must stand in pairs."""
_FARTHER: Final = 1.35
"""How much farther pairs are apart than the two lines of a pair."""


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
