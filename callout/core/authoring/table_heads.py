"""The heading row of a table on a page, and the column of each cell."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from callout.core.authoring.asides import is_position, role_of
from callout.core.authoring.lines import COUNTS
from callout.core.authoring.quantities import is_label, unit_end
from callout.core.authoring.seat_columns import heads_seats, is_over_both, told_columns
from callout.core.formats.draft_rows import column_name
from callout.core.formats.drafts import is_phase_name
from callout.core.formats.printed_columns import printed_column
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Cell, Row

_COUNT: Final = re.compile(r"\d{1,3}")

_REPEATED: Final = frozenset({"number", "done", "note", "role", "side", "response"})
"""Columns of which a table can have several."""
_PLAIN: Final = frozenset({"challenge", "response", "done", "number", "note"})
_LOOKED_AT: Final = 6
_LEVEL_SHARE: Final = 0.7
_NEAR: Final = 0.7
"""How far a cell may be from the edge or the middle of its column, in letter heights."""
_TELLING: Final = frozenset({"response", "min", "max", "side", "role"})
_HOW: Final = frozenset({"how", "result", "limits", "limit", "details"})
_HEADED: Final = re.compile(r"[^\W\d_]+(?:[ -][^\W\d_]+){0,3}")

_LINKS: Final = re.compile(r"(?i)(?:not )?(?:at|to|from|by|above|below|min|max|set to|about)")
_UNDER: Final = 0.45
"""How far from its heading a cell may begin, relative to the distance of the nearest headings."""


def head_parts(row: Row) -> tuple[str, ...]:
    """Return the names of the columns that ``row`` heads; empty if it is not a heading."""
    if len(row.cells) < 2 or len(row.names) == len(row.cells):
        return row.names
    if len(row.cells) == 2 and all(role_of(cell.text) is not None for cell in row.cells):
        return ("challenge", "response")
    names = _column_names(row.cells)
    if (heads_own_list(row) or heads_seats(row)) and not names[0]:
        names[0] = "challenge"
    told = len(names) > 2 or "done" not in names  # "Controls | checked" is an item
    return tuple(names) if "challenge" in names and all(names) and told else ()


def heads_own_list(row: Row) -> bool:
    """Say whether a heading row names its list where others say "Item": "Before taxi | Response".

    The other columns have to be called as they usually are.
    """
    first, *others = row.cells
    names = [part_name(cell.text) for cell in others]
    sure = row.bold or len(names) > 1 or is_phase_name(first.text)
    plain = _HEADED.fullmatch(first.text.strip()) is not None and not part_name(first.text)
    return plain and sure and "response" in names and all(names)


def _column_names(cells: Sequence[Cell]) -> list[str]:
    """Return what each column holds, as its heading and those beside it say; empty: unknown."""
    texts = [cell.text for cell in cells]
    names = _counted([part_name(text) for text in texts], texts)
    if len(names) > 2 and _COUNT.fullmatch(texts[0].strip()) and not names[0]:
        names[0] = "number"  # the lines of a sheet are numbered, its heading too
    if names.count("challenge") > 1:  # "System | Item": the first groups the others
        names[names.index("challenge")] = "section"
    if "challenge" not in names and names[:2] == ["response", "response"]:
        names[0] = "challenge"  # "Action | Setting"
    if "response" not in names and "challenge" in names and "note" in names:
        told = [at for at, text in enumerate(texts) if text.casefold().strip() in _HOW]
        names = ["response" if at in told else name for at, name in enumerate(names)]
    if "response" not in names and "challenge" in names:
        names = ["response" if name == "when" else name for name in names]
    return names


def _counted(names: Sequence[str], texts: Sequence[str]) -> list[str]:
    """Return names; columns called 1, 2, 3 are for a pencil on as many flights."""
    counts = [at for at, text in enumerate(texts) if text.strip().isdecimal()]
    told = [int(texts[at]) for at in counts]
    rising = len(told) > 1 and told == list(range(1, len(told) + 1))
    return ["done" if rising and at in counts else name for at, name in enumerate(names)]


def is_table_head(cells: Sequence[Cell]) -> bool:
    """Say whether cells head one table: challenge, response and more, each once."""
    names = _column_names(cells)
    told = "challenge" in names and not _TELLING.isdisjoint(names)
    whole = told and sum(map(bool, names)) >= len(names) - 1
    return whole and len(names) > 2 and _are_unlike([name for name in names if name], twice=False)


def _are_unlike(names: Sequence[str], *, twice: bool = True) -> bool:
    """Say whether each column has a name of its own; ``twice``: there may be two responses."""
    own = [name for name in names if name not in _REPEATED or (name == "response" and not twice)]
    return len(set(own)) == len(own)


@lru_cache(maxsize=4096)
def part_name(text: str) -> str:
    """Return what a column with that heading holds; empty if the heading is unknown."""
    if COUNTS.fullmatch(text.strip()) and not text.strip()[:1].isdigit():
        return "number"
    if name := column_name(text):
        return name
    if role_of(text) is not None and not is_position(text):
        return "role"
    return printed_column(text)


@dataclass(frozen=True, slots=True)
class Heads:
    """The columns of a table: their names, and where each begins."""

    names: tuple[str, ...] = ()
    lefts: tuple[float, ...] = ()
    rights: tuple[float, ...] = ()
    texts: tuple[str, ...] = ()
    height: float = 0.0
    """Of its letters."""

    def _distance(self, at: int, cell: Cell) -> tuple[float, float]:
        """Return how far a cell is from being under a heading, and how far their starts differ."""
        left, right = self.lefts[at], self.rights[at]
        return max(0.0, left - cell.right, cell.left - right), abs(left - cell.left)

    def _spread(self, at: int) -> float:
        """Return how far the nearest heading is from one of them."""
        others = (left for other, left in enumerate(self.lefts) if other != at)
        return min((abs(left - self.lefts[at]) for left in others), default=0.0)

    def hold(self, rows: Sequence[Row]) -> bool:
        """Say whether rows after a heading still stand in the columns; else another table begins.

        Only columns that say more than challenge and response would be misread.
        """
        if not self.lefts or _PLAIN.issuperset(self.names):
            return True
        table = itertools.takewhile(lambda row: len(row.cells) > 1, rows)
        cells = [cell for row in itertools.islice(table, _LOOKED_AT) for cell in row.cells]
        level = sum(
            any(self._is_level(at, cell) for at in range(len(self.lefts))) for cell in cells
        )
        return level >= _LEVEL_SHARE * len(cells)

    def _is_level(self, at: int, cell: Cell) -> bool:
        left, right = self.lefts[at] - cell.left, self.rights[at] - cell.right
        near = _NEAR * max(self.height, 1.0)
        return min(abs(left), abs(right), abs(left + right) / 2) < near

    def _pilots_over(self, cell: Cell) -> tuple[str, ...]:
        """Return the names of both pilots' columns if a cell is set in the middle of the two."""
        seats = [at for at, name in enumerate(self.names) if name == "role"]
        ends = [(self.lefts[at], self.rights[at]) for at in seats]
        over = len(seats) == 2 and is_over_both(cell, ends, self.height)
        return tuple(self.texts[at] for at in seats) if over else ()

    def parts_at(self, cells: Sequence[Cell]) -> dict[str, str]:
        """Return the cells by the heading that each begins under; empty if one is under none."""
        columns: list[tuple[str, str, str]] = []
        for cell in cells:
            near = min(range(len(self.lefts)), key=lambda at: self._distance(at, cell))
            name, heading = self.names[near], self.texts[near]
            apart = self._distance(near, cell)[0] > _UNDER * self._spread(near)
            again = any(told == name for told, _, _ in columns)
            if apart or (again and name not in _REPEATED):
                return {}
            across = self._pilots_over(cell) if name == "role" else ()
            columns += [(name, heading, cell.text.strip()) for heading in across or (heading,)]
        parts = told_columns(columns)
        return parts if parts.get("challenge") else {}


def heads_of(row: Row) -> Heads:
    """Return the columns that ``row`` heads; none if it is not a heading."""
    names = head_parts(row)
    placed = names and _are_unlike(names) and row.origin.box is not None
    lefts = tuple(cell.left for cell in row.cells) if placed else ()
    rights = tuple(cell.right for cell in row.cells)
    texts = tuple(cell.text for cell in row.cells)
    return Heads(names, lefts, rights, texts, row.origin.box.height if row.origin.box else 0.0)


def parts_of(cells: Sequence[Cell], heads: Heads) -> dict[str, str]:
    """Return the cells of an item by their role; one in which a pencil goes has none."""
    parts = _named_parts(cells, heads)
    pencil = re.search(r"[^\W_]", parts.get("who", "x")) is None
    return {name: text for name, text in parts.items() if name != "who" or not pencil}


def _named_parts(cells: Sequence[Cell], heads: Heads) -> dict[str, str]:
    found = list(cells)
    named = heads.names
    if heads.lefts and (placed := heads.parts_at(found)):
        return {name: text for name, text in placed.items() if name not in ("number", "done")}
    if len(found) > 2 and COUNTS.fullmatch(found[0].text.strip()):
        found = found[1:]
    names = [name for name in named if name not in ("number", "done")]
    if len(found) == len(names) and "role" not in names:
        return {name: cell.text for name, cell in zip(names, found, strict=True)}
    parts: dict[str, str] = {}
    if len(found) > 2 and role_of(found[0].text) is not None:
        parts["who"] = found[0].text
        found = found[1:]
    parts["challenge"] = found[0].text
    rest: list[str] = []
    for cell in found[1:]:
        alone = len(found) == 2 and is_position(cell.text)
        if role_of(cell.text) is not None and "who" not in parts and not alone:
            parts["who"] = cell.text
        else:
            rest.append(cell.text)
    rest = _joined_rest(rest)
    if rest:
        parts["response"] = rest[0]
    if len(rest) > 1:
        parts["more"] = " ".join(rest[1:])
    return parts


def _joined_rest(rest: Sequence[str]) -> list[str]:
    """Return what follows a challenge; a unit or an alternative set apart belongs to the first."""
    if len(rest) < 2:
        return list(rest)
    blanks = all(cell.startswith(BLANK) for cell in rest[1:])
    several = is_label(rest[0]) and " ".join(rest).count(BLANK) > 1
    if blanks and (several or _LINKS.fullmatch(rest[0])):
        return [" ".join(rest)]  # "L", "____ R", "____ kg"; "at", "____ kt"
    first, second = rest[:2]
    unit = re.search(r"\d$|__", first) and unit_end(second) == len(second)
    if unit or re.match(r"(?:or|and)\b", second):
        return [f"{first} {second}", *rest[2:]]
    return list(rest)
