"""Lines with words on both sides of a clear strip that are one item all the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from callout.core.authoring.asides import role_of
from callout.core.authoring.likely import pair_likeness
from callout.core.authoring.lines import Line, line_cells, line_score, without_marks
from callout.core.paper.page import Cell

_FEWEST_SURE: Final = 4
"""Lines whose words say so, before others are compared with them."""
_ITEM: Final = 0.6


def whole_items(whole: Sequence[Line], cut: float, em: float) -> set[int]:
    """Return the lines across ``cut`` that are one item, and none on any side.

    Their words say so, or they are set like a line whose words do.
    """
    pairs = {id(line): cells for line in whole if (cells := _across(line, cut, em))}
    sure = [cells for cells in pairs.values() if pair_likeness(*(c.text for c in cells)) > _ITEM]

    models = sure if len(sure) >= _FEWEST_SURE else []
    return {
        at
        for at, cells in pairs.items()
        if cells in sure or any(_is_set_alike(cells, other, em) for other in models)
    }


def _is_set_alike(cells: Sequence[Cell], other: Sequence[Cell], em: float) -> bool:
    both = zip(cells, other, strict=True)
    return all(abs(one.left - two.left) < em / 2 for one, two in both)


def _across(line: Line, cut: float, em: float) -> Sequence[Cell]:
    """Return the two parts of a line with one on each side of ``cut``; empty if it has others."""
    left = [word for word in line.words if (word.box.left + word.box.right) / 2 < cut]
    right = [word for word in line.words if (word.box.left + word.box.right) / 2 >= cut]
    if not left or not right:
        return ()
    sides = [line_score(line_cells(Line(side), em)[0]) for side in (left, right)]
    cells = without_marks(line_cells(line, em)[0])
    named = len(cells) == 2 and role_of(cells[0].text) is None
    return cells if named and sum(sides) <= 0 else ()
