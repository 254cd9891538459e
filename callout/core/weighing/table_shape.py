"""The row that heads a table, found by how it stands over the rows under it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from statistics import mean
from typing import Final

from callout.core.authoring.asides import is_position, role_of
from callout.core.authoring.likely import challenge_likeness, response_likeness
from callout.core.authoring.quantities import unit_end
from callout.core.authoring.table_heads import head_parts, part_name
from callout.core.formats.printed_columns import printed_column
from callout.core.paper.page import Cell, Row

_FEWEST: Final = 3
"""Rows under a heading."""
_MOST: Final = (14, 6, 3)
"""How many of them are looked at: fewer where what follows is another table."""
_OVER: Final = 0.5
_MOST_WORDS: Final = 5
_MOST_CELLS: Final = 12
_NEAR: Final = 0.6
"""How far two places may be apart to be one, in letter heights."""
_STATE: Final = 0.5
_COUNT: Final = re.compile(r"\(?\d{1,3}[.)]?")
_MARK: Final = re.compile(r"[^\w_]*|[xX]")


def with_heads(rows: Sequence[Row]) -> list[Row]:
    """Return rows; one that stands over the columns of a table says what each of them holds."""
    made = list(rows)
    inside: set[int] = set()
    for at, row in enumerate(rows):
        if id(row) in inside or not _may_head(row):
            continue
        for most in _MOST:
            under = _rows_under(row, rows[at + 1 :], most)
            if len(under) >= _FEWEST and (told := _headed(row, under)):
                made[at] = told
                inside |= {id(one) for one in under}
                break
    return made


def _headed(head: Row, under: Sequence[Row]) -> Row | None:
    """Return a heading with what its columns hold, as wide as they are; None if it is none."""
    columns = _columns(head, under)
    if not columns:
        head = _over_first(head, under)
        columns = _columns(head, under)
    if not columns:
        return None
    if any(_is_alike(cell, columns.get(at, ())) for at, cell in enumerate(head.cells)):
        return None
    names = head_parts(head) if len(head.cells) > 2 else ()
    if not names and _stands_out(head, under):
        names = _names(head, columns)
    if not names:
        return None
    cells = []
    for at, cell in enumerate(head.cells):
        inside = (cell, *columns.get(at, ()))
        left, right = min(c.left for c in inside), max(c.right for c in inside)
        cells.append(replace(cell, left=left, right=right))
    return replace(head, names=names, cells=tuple(cells))


def _is_alike(head: Cell, held: Sequence[Cell]) -> bool:
    """Say whether a cell names a crew member as those under it do: its row is an item too."""
    crew = sum(role_of(cell.text) is not None for cell in held)
    return role_of(head.text) is not None and 2 * crew > len(held)


def _over_first(head: Row, under: Sequence[Row]) -> Row:
    """Return a heading; if the first column has none, with an empty one over it."""
    left = head.cells[0].left
    firsts = [row.cells[0] for row in under if row.cells[0].right < left and len(row.cells) > 1]
    named = part_name(head.cells[0].text) in ("challenge", "number")
    if len(firsts) < _FEWEST or 2 * len(firsts) < len(under) or named:
        return head
    cell = Cell("", min(c.left for c in firsts), max(c.right for c in firsts))
    return replace(head, cells=(cell, *head.cells))


def _may_head(row: Row) -> bool:
    texts = [cell.text for cell in row.cells]
    plain = 1 < len(texts) <= _MOST_CELLS and not (row.leader or row.bullet or row.heading)
    short = all(len(text.split()) <= _MOST_WORDS and "__" not in text for text in texts)
    apart = all(one.left < two.left for one, two in pairwise(row.cells))  # by gaps, not by marks
    return plain and short and apart and row.origin.box is not None and not _has_value(texts)


def _has_value(texts: Sequence[str]) -> bool:
    return any(re.search(r"\d", text) and not printed_column(text) for text in texts[1:])


def _rows_under(head: Row, rows: Sequence[Row], most: int) -> list[Row]:
    """Return the next rows that have several cells, up to the next heading of a table."""
    found: list[Row] = []
    for row in rows:
        if row.origin.page != head.origin.page or head_parts(row) or len(found) == most:
            break
        found += [row] if 1 < len(row.cells) <= _MOST_CELLS and not row.leader else []
    return found


def _columns(head: Row, under: Sequence[Row]) -> dict[int, list[Cell]]:
    """Return the cells of the rows by the column that they are in; empty if they have no columns.

    A heading may be set in the middle of its column, so cells are compared with one another first.
    """
    em = max(head.origin.box.height if head.origin.box else 1.0, 0.1)
    found: list[list[Cell]] = []
    for row in under:
        for cell in row.cells:
            same = [column for column in found if any(_is_level(cell, one, em) for one in column)]
            joined = [cell, *(one for column in same for one in column)]
            found = [column for column in found if column not in same] + [joined]
    if len(found) > len(head.cells) or max(len(row.cells) for row in under) > len(found):
        return {}
    found.sort(key=lambda column: min(cell.left for cell in column))
    ways = combinations(range(len(head.cells)), len(found))
    best = min(ways, key=lambda way: _apart(way, head, found), default=())
    return dict(zip(best, found, strict=True))


def _is_level(one: Cell, other: Cell, em: float) -> bool:
    near = _NEAR * em
    middle = abs(one.left + one.right - other.left - other.right) < near
    level = abs(one.left - other.left) < near or abs(one.right - other.right) < near
    over = min(one.right, other.right) - max(one.left, other.left)
    return level or middle or over > _OVER * min(one.right - one.left, other.right - other.left)


def _apart(way: Sequence[int], head: Row, found: Sequence[Sequence[Cell]]) -> float:
    """Return how far columns are from the headings that a way gives them."""
    total = 0.0
    for at, column in zip(way, found, strict=True):
        left, right = min(c.left for c in column), max(c.right for c in column)
        one = head.cells[at]
        total += max(0.0, one.left - right, left - one.right)
        total += abs(one.left - left) / 100
    return total


def _stands_out(head: Row, under: Sequence[Row]) -> bool:
    """Say whether a row is set in another type, or its words are no item where the others' are."""
    bold = head.bold and 2 * sum(row.bold for row in under) < len(under)
    told = [_told_name(cell.text) for cell in head.cells]
    named = [name not in ("", "done") for name in told]
    if len(head.cells) > 2:
        return bold or (any(named) and 2 * sum(map(bool, told)) > len(told))
    crew = role_of(head.cells[1].text) is not None and not is_position(head.cells[1].text)
    if bold or crew:
        return crew or any(named)
    return all(named) and response_likeness(head.cells[1].text) < _STATE


def _told_name(text: str) -> str:
    return part_name(text) or printed_column(text, loose=True)


def _names(head: Row, columns: Mapping[int, Sequence[Cell]]) -> tuple[str, ...]:
    """Return what each column holds, by its heading or by what stands in it."""
    texts = [[cell.text for cell in columns.get(at, ())] for at in range(len(head.cells))]
    names = [_name(cell.text, held) for cell, held in zip(head.cells, texts, strict=True)]
    if "challenge" not in names and names.count("response") > 1:
        names[names.index("response")] = "challenge"  # one pilot says, the other answers
    if "challenge" not in names:
        free = [at for at, name in enumerate(names) if not name]
        first = max(free, key=lambda at: _challenges(texts[at]), default=None)
        if first is None or not texts[first]:
            return ()
        names[first] = "challenge"
    if not {"response", "role", "side", "min", "max"} & set(names):
        free = [at for at, name in enumerate(names) if not name and texts[at]]
        best = max(free, key=lambda at: mean(map(response_likeness, texts[at])), default=None)
        if best is None:
            return ()
        names[best] = "response"
    return tuple(name or "note" for name in names)


def _challenges(texts: Sequence[str]) -> float:
    return mean(map(challenge_likeness, texts)) + len(texts) / 100 if texts else 0.0


def _name(heading: str, held: Sequence[str]) -> str:
    if not held:
        return "done"
    if all(_COUNT.fullmatch(text) for text in held) and not printed_column(heading):
        return "number"
    name = _told_name(heading)
    if name in ("challenge", "note") and mean(map(challenge_likeness, held)) < _STATE:
        name = ""
    if name == "done" and any(not _MARK.fullmatch(text) for text in held):
        name = ""
    crew = sum(role_of(text) is not None and not is_position(text) for text in held)
    if 2 * crew >= len(held) and name in ("", "response", "done", "note"):
        return "who"
    units = all(unit_end(text) == len(text) for text in held)
    return "unit" if units and not name else name
