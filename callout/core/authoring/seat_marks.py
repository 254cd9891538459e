"""Letters that say which seat answers: "L", "R", "L+R" in a column, "[R]" behind an item."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace
from statistics import median
from typing import Final

from callout.core.authoring.asides import is_position, role_of
from callout.core.paper.page import Cell, Row

_SEATS: Final = {"l": "left seat", "r": "right seat"}
_BOTH: Final = re.compile(r"l ?[+/&,]? ?r|r ?[+/&,]? ?l|b", re.IGNORECASE)
_AT_END: Final = re.compile(r"(.*\S)\s+(L\s?[+/&]\s?R|[LR]|\((?:L\s?[+/&]\s?R|[LRB])\))")
_BRACKETED: Final = re.compile(r"(.*\S)\s*\[\s?(L\s?[+/&]\s?R|[LRB])\s?\]")
_FEWEST: Final = 4
_MOSTLY: Final = 0.4
"""Share of the items of the page that have such a letter."""
_NEAR: Final = 1.5
"""How far apart the letters of the column are, in letter heights."""


def with_seats(rows: Sequence[Row]) -> list[Row]:
    """Return rows; letters after the responses or items say who answers, if many have one."""
    rows = _with_leading_seats(_with_marks_apart(_without_brackets(rows)))
    marked = {id(row): row.cells[2] for row in rows if len(row.cells) > 2 and _seat(row.cells[2])}
    if not _are_seats(len(marked), {_seat(cell) for cell in marked.values()}, rows):
        return list(rows)
    place = median(cell.left for cell in marked.values())
    return [_with_seat(row, place) for row in rows]


def _with_leading_seats(rows: Sequence[Row]) -> list[Row]:
    """Return rows; letters in a column before the items say who answers, if many have one."""
    letters = {id(row): s for row in rows if len(row.cells) > 2 and (s := _seat(row.cells[0]))}
    if not _are_seats(len(letters), set(letters.values()), rows):
        return list(rows)
    return [_begun_by(row, letters.get(id(row), "")) for row in rows]


def _begun_by(row: Row, seat: str) -> Row:
    cells = (replace(row.cells[0], text=seat), *row.cells[1:]) if seat else row.cells
    return replace(row, cells=cells)


def _with_marks_apart(rows: Sequence[Row]) -> list[Row]:
    """Return rows; where many have a column of crew marks, one that touches the response is apart.

    "CHECKED BOTH" ends where the marks of other lines do.
    """
    ends = [row.cells[2].right for row in rows if len(row.cells) == 3 and _is_mark(row.cells[2])]
    if len(ends) < max(_FEWEST, _MOSTLY * sum(len(row.cells) > 1 for row in rows)):
        return list(rows)
    return [_with_mark_apart(row, ends) for row in rows]


def _is_mark(cell: Cell) -> bool:
    return role_of(cell.text) is not None and not is_position(cell.text)


def _with_mark_apart(row: Row, ends: Sequence[float]) -> Row:
    last = row.cells[-1]
    said, _, mark = last.text.rpartition(" ")
    near = _NEAR * (row.origin.box.height if row.origin.box else 0.0)
    level = any(abs(last.right - end) < near for end in ends)
    if len(row.cells) != 2 or not said or role_of(mark) is None or not level:
        return row
    parts = replace(last, text=said), Cell(mark, last.right, last.right, last.sure)
    return replace(row, cells=(row.cells[0], *parts))


def _without_brackets(rows: Sequence[Row]) -> list[Row]:
    """Return rows; letters in brackets behind the items become a column after the responses."""
    found = {id(row): m for row in rows if (m := _BRACKETED.fullmatch(row.cells[0].text))}
    marked = [row for row in rows if id(row) in found and len(row.cells) == 2]
    if not _are_seats(len(marked), {m[2] for m in found.values()}, rows):
        return list(rows)
    place = max(row.cells[1].right for row in marked)
    return [_bracket_as_column(row, found.get(id(row)), place) for row in rows]


def _bracket_as_column(row: Row, found: re.Match[str] | None, place: float) -> Row:
    if found is None or len(row.cells) != 2:
        return row
    item, response = row.cells
    mark = Cell(_seat_of(found[2]), place, place, item.sure)
    return replace(row, cells=(replace(item, text=found[1]), response, mark))


def _are_seats(count: int, letters: Collection[str], rows: Sequence[Row]) -> bool:
    """Say whether so many letters, of these kinds, are enough for the items."""
    items = sum(len(row.cells) > 1 for row in rows)
    return count >= max(_FEWEST, _MOSTLY * items) and len(letters) > 1


def _seat(cell: Cell) -> str:
    return _seat_of(cell.text)


def _seat_of(text: str) -> str:
    """Return who answers, by a letter; empty if it is none."""
    text = text.strip(" ().").casefold()
    return _SEATS.get(text, "both pilots" if _BOTH.fullmatch(text) else "")


def _with_seat(row: Row, place: float) -> Row:
    near = _NEAR * (row.origin.box.height if row.origin.box else 0.0)
    if len(row.cells) > 2 and _seat(row.cells[2]) and abs(row.cells[2].left - place) < near:
        cells = list(row.cells)
        cells[2] = replace(cells[2], text=_seat(cells[2]))
        return replace(row, cells=tuple(cells))
    last = row.cells[-1]
    ended = _AT_END.fullmatch(last.text) if len(row.cells) == 2 else None
    if ended is None or abs(last.right - place) > 3 * near:
        return row
    mark = Cell(_seat_of(ended[2]), place, last.right, last.sure)
    return replace(row, cells=(row.cells[0], replace(last, text=ended[1], right=place), mark))
