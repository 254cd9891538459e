"""Rows of a table that go on in a second line, in other columns than the first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import median
from typing import Final

from callout.core.paper.page import Cell, Row, joined_origin, joined_text

_COLUMNS: Final = 3
_FEWEST: Final = 4
"""Rows of so many columns, before a page has a table."""
_NEARER: Final = 0.35
"""How much nearer than other rows the second line stands, in letter heights."""
_LEVEL: Final = 0.4
_OVERLAP: Final = -0.25
"""Clear space above a line set beside the middle of two others, in letter heights."""


def with_continued(rows: Sequence[Row], em: float) -> list[Row]:
    """Return ``rows``; a line that only goes on with later columns is part of the row above."""
    rows = list(_with_middles(rows, em))
    gaps = [row.gap for row in rows[1:] if len(row.cells) >= _COLUMNS]
    if len(gaps) < _FEWEST:
        return list(rows)
    usual = median(gaps)
    parted = [row for row in rows if len(row.cells) > 1]
    if 2 * sum(_is_near(row, usual) for row in parted) > len(parted):
        return list(rows)  # so near are the items of this page; others begin a group
    made: list[Row] = []
    for row in rows:
        near = _is_near(row, usual) and not row.bullet and not row.leader
        if made and near and _goes_on(made[-1], row, em):
            made[-1] = _joined(made[-1], row, em)
        else:
            made.append(row)
    return made


def _with_middles(rows: Sequence[Row], em: float) -> Iterator[Row]:
    """Yield rows; where one part runs over two lines and the other is set beside the middle of
    them, the three are one row.
    """
    at = 0
    while at < len(rows):
        three = rows[at : at + 3]
        if len(three) == 3 and _is_round_middle(three, em):
            yield _round_middle(three)
            at += 3
        else:
            yield rows[at]
            at += 1


def _is_round_middle(three: Sequence[Row], em: float) -> bool:
    first, middle, last = (row.cells[0] for row in three)
    single = all(len(row.cells) == 1 and not row.heading for row in three)
    between = all(row.gap < _OVERLAP for row in three[1:]) and not three[2].bullet
    level = abs(first.left - last.left) < _LEVEL * em
    beside = middle.left > max(first.right, last.right) or middle.right < min(first.left, last.left)
    return single and between and level and beside


def _round_middle(three: Sequence[Row]) -> Row:
    first, middle, last = (row.cells[0] for row in three)
    right = max(first.right, last.right)
    sure = min(first.sure, last.sure)
    whole = Cell(joined_text(first.text, last.text), first.left, right, sure)
    cells = (whole, middle) if middle.left > right else (middle, whole)
    told = joined_origin(joined_origin(three[0].origin, three[2].origin), three[1].origin)
    text = " ".join(cell.text for cell in cells)
    return replace(three[0], cells=cells, origin=replace(told, text=text))


def _is_near(row: Row, usual: float) -> bool:
    return row.gap < usual - _NEARER


def _goes_on(above: Row, row: Row, em: float) -> bool:
    """Say whether each cell stands under one of the row above, and none under its first."""
    if len(above.cells) < _COLUMNS or len(row.cells) >= len(above.cells):
        return False
    return all(_over(above, cell, em) for cell in row.cells)


def _over(above: Row, cell: Cell, em: float) -> int | None:
    """Return which later cell of a row begins where ``cell`` does; None: none does."""
    found = (
        at for at, one in enumerate(above.cells) if at and abs(one.left - cell.left) < _LEVEL * em
    )
    return next(found, None)


def _joined(above: Row, row: Row, em: float) -> Row:
    cells = list(above.cells)
    for cell in row.cells:
        at = _over(above, cell, em)
        if at is not None:
            one = cells[at]
            cells[at] = Cell(
                joined_text(one.text, cell.text),
                one.left,
                max(one.right, cell.right),
                min(one.sure, cell.sure),
            )
    origin = joined_origin(above.origin, row.origin)
    return replace(above, cells=tuple(cells), origin=origin, hole=above.hole or row.hole)
