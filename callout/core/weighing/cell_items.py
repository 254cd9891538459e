"""Tables in which one column holds whole items, and others say where they are and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.splitting import BULLET, split_text
from callout.core.paper.page import Cell, Row, joined_origin, joined_text
from callout.core.weighing.lines import FEWEST, text_of

_NEAR: Final = 0.6
_SHARE: Final = 0.4
"""Share of the cells that begin where they do: "letter ____" among other replies is none."""
_MOSTLY: Final = 0.75
"""Share of the cells of the column that must be whole items."""


def ways_of_cells(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Yield rows where whole items stand between names of sections and remarks."""
    places = [cell.left for row in rows for cell in row.cells if _halves(row, cell)]
    wide = [row for row in rows if len(row.cells) > 1 and any(_halves(row, c) for c in row.cells)]
    if len(places) < FEWEST or not wide:
        return
    em = max(wide[0].origin.box.height if wide[0].origin.box else 1.0, 0.1)
    edge = max(places, key=lambda x: sum(abs(x - y) < _NEAR * em for y in places))
    level = [at for at in places if abs(at - edge) < _NEAR * em]
    column = [c for row in rows for c in row.cells if abs(c.left - edge) < _NEAR * em]
    if len(level) >= max(FEWEST, _MOSTLY * len(places), _SHARE * len(column)):
        made: list[Row] = []
        for row in rows:
            if made and _goes_on(made[-1], row, edge, em):
                made[-1] = _joined(made[-1], row)
            else:
                made += _apart(row, edge, em)
        yield made


def _goes_on(last: Row, row: Row, edge: float, em: float) -> bool:
    """Say whether a line is more of the remark beside the item before it."""
    beside = len(last.cells) > 2 and len(row.cells) == 1 and not row.bullet
    return beside and abs(row.cells[0].left - last.cells[-1].left) < _NEAR * em


def _joined(last: Row, row: Row) -> Row:
    end = last.cells[-1]
    end = replace(end, text=joined_text(end.text, row.cells[0].text))
    origin = joined_origin(last.origin, row.origin)
    return replace(last, cells=(*last.cells[:-1], end), origin=origin)


def _halves(row: Row, cell: Cell) -> tuple[str, str] | None:
    """Return challenge and response of a cell that is an item by itself."""
    if len(row.cells) == 2 and row.cells[0].left == row.cells[1].left:  # divided by its mark
        return (row.cells[0].text, row.cells[1].text) if cell is row.cells[0] else None
    found = split_text(BULLET.sub("", cell.text))
    return (found.challenge, found.response) if found.response else None


def _apart(row: Row, edge: float, em: float) -> Iterator[Row]:
    at = next((n for n, c in enumerate(row.cells) if abs(c.left - edge) < _NEAR * em), None)
    pair = _halves(row, row.cells[at]) if at is not None else None
    if at is None or pair is None or (len(row.cells) == 2 and at == 0 and _is_marked(row)):
        yield row
        return
    cell, before, after = row.cells[at], row.cells[:at], row.cells[at + 1 :]
    text = text_of(row)
    for one in before:
        origin = replace(row.origin, text=one.text)
        yield replace(row, cells=(one,), origin=origin, heading=True, bullet=False)
        text = text.replace(one.text, "", 1).strip()
    parts = (replace(cell, text=pair[0]), replace(cell, text=pair[1]), *after)
    gap = 0.0 if before else row.gap
    origin = replace(row.origin, text=text)
    yield replace(row, cells=parts, origin=origin, gap=gap, leader=not after, heading=False)


def _is_marked(row: Row) -> bool:
    return row.cells[0].left == row.cells[1].left
