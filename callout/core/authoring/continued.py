"""Rows of a table that go on in a second line, in other columns than the first."""

from __future__ import annotations

from collections.abc import Sequence
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


def with_continued(rows: Sequence[Row], em: float) -> list[Row]:
    """Return ``rows``; a line that only goes on with later columns is part of the row above."""
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
