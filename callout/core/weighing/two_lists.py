"""Two short lists beside each other in a page of one column: lines that are two items each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.asides import role_of
from callout.core.authoring.likely import pair_likeness
from callout.core.authoring.table_heads import head_parts
from callout.core.paper.page import Cell, Row

_FEWEST: Final = 2
_SURE, _MOSTLY = 0.7, 0.3
"""How likely two items are by their words, and the share of lines that must be so likely."""
_NEAR: Final = 0.6
"""How far apart the second items of two lines begin, in letter heights."""


def holds_two(row: Row, least: float = _SURE) -> bool:
    """Say whether a line is two items by its words, each with its response."""
    if len(row.cells) != 4 or row.names or role_of(row.cells[3].text) is not None:
        return False
    one, two = (pair_likeness(row.cells[at].text, row.cells[at + 1].text) for at in (0, 2))
    return one > least and two > least


def two_lists_apart(rows: Sequence[Row]) -> list[Row]:
    """Return rows; the items on the left of such lines come first, then those on the right.

    Two names over them head one list each.
    """
    made: list[Row] = []
    at = 0 if not any(len(head_parts(row)) > 2 for row in rows) else len(rows)
    made += rows[:at]  # columns that a table names are no lists
    while at < len(rows):
        run = list(_run(rows[at:]))
        names = {row.cells[part].text for row in run for part in (0, 2)}
        sure = _MOSTLY * len(run) < sum(map(holds_two, run))
        if len(run) < _FEWEST or not sure or len(names) < 2 * len(run) - 1:
            made.append(rows[at])
            at += 1
            continue
        heads = _heads(made, run[0])
        if heads:
            made.pop()
        for side in (0, 1):
            made += [heads[side]] if heads else []
            made += [_half(row, side) for row in run]
        at += len(run)
    return made


def _run(rows: Sequence[Row]) -> Iterator[Row]:
    """Yield the next lines that are two items each, the second ones level."""
    first = rows[0]
    em = first.origin.box.height if first.origin.box else 1.0
    for row in rows:
        if not holds_two(row, 0.0) or abs(row.cells[2].left - first.cells[2].left) > _NEAR * em:
            return
        yield row


def _heads(before: Sequence[Row], row: Row) -> tuple[Row, Row] | None:
    """Return the names over two lists, each as a line; None if the line above is no such pair."""
    if not before or len(before[-1].cells) != 2 or before[-1].leader or before[-1].names:
        return None
    one, two = before[-1].cells
    apart = one.right < row.cells[2].left <= two.right and one.left < row.cells[1].right
    set_apart = before[-1].bold or before[-1].heading
    return (_alone(before[-1], one), _alone(before[-1], two)) if apart and set_apart else None


def _alone(row: Row, cell: Cell) -> Row:
    return replace(row, cells=(cell,), origin=replace(row.origin, text=cell.text), heading=True)


def _half(row: Row, side: int) -> Row:
    cells = row.cells[2 * side : 2 * side + 2]
    box = row.origin.box
    place = replace(box, left=cells[0].left, right=cells[1].right) if box else None
    text = " ".join(cell.text for cell in cells)
    return replace(row, cells=cells, origin=replace(row.origin, text=text, box=place), tail="")
