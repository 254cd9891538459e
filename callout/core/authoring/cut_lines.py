"""Lines at a clear strip of a page that belong to no side of it: whole items, and headings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from callout.core.authoring.asides import role_of
from callout.core.authoring.likely import pair_likeness
from callout.core.authoring.lines import Line, line_cells, line_score, without_marks
from callout.core.authoring.table_heads import is_table_head, part_name
from callout.core.formats.drafts import is_phase_name
from callout.core.paper.page import Cell

_FEWEST_SURE: Final = 4
"""Lines whose words say so, before others are compared with them."""
_ITEM: Final = 0.6
_FEWEST_HEADS, _MOST_TITLES = 2, 2
_FEW_BOLD, _LARGER = 0.4, 1.15


def headed_tables(whole: Sequence[Line], em: float) -> Iterator[tuple[float, float]]:
    """Yield (left, right) of each table that a line heads; one line may head two side by side."""
    for line in whole:
        cells = line_cells(line, em)[0]
        if is_table_head(cells):
            yield line.box.left, line.box.right
            continue
        names = [part_name(cell.text) for cell in cells]
        starts = [at for at, name in enumerate(names) if name == names[0]]
        if len(starts) > 1 and names[0] and all(names) and "challenge" in names:
            for at, end in zip(starts, (*starts[1:], len(cells)), strict=True):
                yield cells[at].left, cells[end - 1].right


def lines_across(
    whole: Sequence[Line], cut: float, em: float, edge: float | None = None
) -> set[int]:
    """Return the lines that run across ``cut``, whatever gap they have there.

    Not those in a shaded field that also begin at ``edge``, where the right column does.
    """
    shaded = [line for line in whole if all(word.banded for word in line.words)]
    banded = {id(line) for line in shaded if not _begins_at(line, edge, em)}
    heads = banded | _headings(whole, cut, em)
    tops = [line.box.top for line in whole if id(line) in heads]
    over = [line for line in whole if len(tops) > 1 and line.box.bottom < min(tops)]
    over = over if len(over) <= _MOST_TITLES else []
    return heads | {id(line) for line in over} | _whole_items(whole, cut, em)


def _begins_at(line: Line, edge: float | None, em: float) -> bool:
    return edge is not None and any(abs(word.box.left - edge) < em / 2 for word in line.words)


def _headings(whole: Sequence[Line], cut: float, em: float) -> set[int]:
    """Return the headings on the left if the right has none and leaves the line of each free.

    Each of them is over a band of two columns then.
    """
    sides = [(line, _is_left(line, cut)) for line in whole]
    heads = [line for line, left in sides if left and _is_heading(line, whole, em)]
    parts = [[word for word in line.words if word.box.left >= cut] for line in whole]
    right = [Line(words) for words in parts if words]
    others = [line for line in right if _is_heading(line, right, em)]
    inside = [line for line in heads if _has_beside(line, right)]
    return {id(line) for line in heads} if len(inside) >= _FEWEST_HEADS and not others else set()


def _is_left(line: Line, cut: float) -> bool:
    return all(word.box.right < cut for word in line.words)


def _has_beside(line: Line, right: Sequence[Line]) -> bool:
    """Say whether lines of the right column stand above and below a line."""
    heights = [other.box.middle for other in right]
    return min(heights, default=line.box.middle) < line.box.top and (
        max(heights, default=line.box.middle) > line.box.bottom
    )


def _is_heading(line: Line, lines: Sequence[Line], em: float) -> bool:
    """Say whether a line is the name of a phase, or set like few others."""
    if len(line_cells(line, em)[0]) > 1:
        return False
    if is_phase_name(" ".join(word.text for word in line.words)):
        return True
    bold = sum(all(word.bold for word in one.words) for one in lines)
    few = all(word.bold for word in line.words) and bold < _FEW_BOLD * len(lines)
    return few or line.box.height > _LARGER * em


def _whole_items(whole: Sequence[Line], cut: float, em: float) -> set[int]:
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
