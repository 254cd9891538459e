"""The heading row of a table on a page, and the column of each cell."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from callout.core.authoring.asides import is_position, role_of
from callout.core.authoring.page import Cell, Row
from callout.core.formats.draft_rows import column_name
from callout.core.formats.drafts import is_phase_name

_NUMBER: Final = re.compile(r"#|no\.?|nr\.?|step|\d{1,3}[.)]?", re.IGNORECASE)

_COUNT: Final = re.compile(r"\d{1,3}")

_DONE: Final = re.compile(
    r"done|tick|ok|\u2713|\u2714|check(?:ed)?|init(?:ial)?s?\.?|sign(?:ed|ature)?|times?|date"
    r"|(?:flight|day) ?\d|1st|2nd|3rd|\dth|first|second|third",
    re.IGNORECASE,
)
"""The heading of a column in which a pencil goes."""
_OTHERS: Final = (
    ("section", re.compile(r"(?:flight )?phases?(?: of flight)?|stage|area|zone|part|place|when")),
    ("note", re.compile(
        r"limits?|limitations?|remarks?|notes?|comments?|reasons?|why|verify|verified by|observe"
        r"|result|tolerance|if not|hints?|how|details|keys?|key bindings?|shortcuts?"
    )),
    ("unit", re.compile(r"units?")),
    ("challenge", re.compile(r"(?:items?|points?) to check|check items?|checks|items|controls")),
    ("response", re.compile(
        r"(?:required|expected|desired|correct|normal|set) (?:state|position|setting|status|reply"
        r"|response|action|value|condition)|(?:state|position|setting|action|condition) required"
        r"|set to|required|expected|do|setting or reading|value"
    )),
)  # fmt: skip
"""What else the columns of a printed table are called. Common practice, from memory."""
_MARKED: Final = frozenset("x\u00d7\u2715\u2717\u2713\u2714\u25cf\u2022\u25a0*")
"""What a cell holds under the name of a crew member who answers."""
_REPEATED: Final = frozenset({"number", "done", "note", "role"})
"""Columns of which a table can have several."""
_HEADED: Final = re.compile(r"[^\W\d_]+(?:[ -][^\W\d_]+){0,3}")

_UNDER: Final = 0.45
"""How far from its heading a cell may begin, relative to the distance of the nearest headings."""


def head_parts(row: Row) -> tuple[str, ...]:
    """Return the names of the columns that ``row`` heads; empty if it is not a heading."""
    if len(row.cells) < 2:
        return ()
    if len(row.cells) == 2 and all(role_of(cell.text) is not None for cell in row.cells):
        return ("challenge", "response")
    names = _column_names(row.cells)
    if heads_own_list(row) and not names[0]:
        names[0] = "challenge"
    return tuple(names) if "challenge" in names and all(names) else ()


def heads_own_list(row: Row) -> bool:
    """Say whether a heading row names its list where others say "Item": "Before taxi | Response".

    The other columns have to be called as they usually are.
    """
    first, *others = row.cells
    names = [_part_name(cell.text) for cell in others]
    sure = row.bold or len(names) > 1 or is_phase_name(first.text)
    plain = _HEADED.fullmatch(first.text.strip()) is not None and not _part_name(first.text)
    return plain and sure and "response" in names and all(names)


def _column_names(cells: Sequence[Cell]) -> list[str]:
    """Return what each column holds, as its heading and those beside it say; empty: unknown."""
    texts = [cell.text for cell in cells]
    names = _counted([_part_name(text) for text in texts], texts)
    if len(names) > 2 and _COUNT.fullmatch(texts[0].strip()) and not names[0]:
        names[0] = "number"  # the lines of a sheet are numbered, its heading too
    if names.count("challenge") > 1:  # "System | Item": the first groups the others
        names[names.index("challenge")] = "section"
    if "challenge" not in names and names[:2] == ["response", "response"]:
        names[0] = "challenge"  # "Action | Setting"
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
    whole = {"challenge", "response"} <= set(names) and all(names)
    return whole and len(names) > 2 and _are_unlike(names)


def _are_unlike(names: Sequence[str]) -> bool:
    own = [name for name in names if name not in _REPEATED]
    return len(set(own)) == len(own)


def _part_name(text: str) -> str:
    if _NUMBER.fullmatch(text.strip()) and not text.strip()[:1].isdigit():
        return "number"
    if name := column_name(text):
        return name
    if role_of(text) is not None and not is_position(text):
        return "role"
    plain = " ".join(re.sub(r"[^a-z ]+", " ", text.casefold()).split())
    last = plain.rpartition(" ")[2]
    told = {"note": last}
    named = (name for name, pattern in _OTHERS if pattern.fullmatch(told.get(name, plain)))
    return next(named, "done" if _DONE.fullmatch(text.strip()) else "")


def without_marks(cells: Sequence[Cell]) -> Sequence[Cell]:
    """Return the cells of a line without its number and its crew mark, if enough remain."""
    if len(cells) > 2 and _NUMBER.fullmatch(cells[0].text.strip()):
        cells = cells[1:]
    marks = [cell for cell in cells if role_of(cell.text) is not None]
    if len(cells) > 2 and marks:
        first = marks[0] if marks[0] is cells[0] else marks[-1]
        cells = [cell for cell in cells if cell is not first]
    return cells


@dataclass(frozen=True, slots=True)
class Heads:
    """The columns of a table: their names, and where each begins."""

    names: tuple[str, ...] = ()
    lefts: tuple[float, ...] = ()
    rights: tuple[float, ...] = ()
    texts: tuple[str, ...] = ()

    def _distance(self, at: int, cell: Cell) -> tuple[float, float]:
        """Return how far a cell is from being under a heading, and how far their starts differ."""
        left, right = self.lefts[at], self.rights[at]
        return max(0.0, left - cell.right, cell.left - right), abs(left - cell.left)

    def _spread(self, at: int) -> float:
        """Return how far the nearest heading is from one of them."""
        others = (left for other, left in enumerate(self.lefts) if other != at)
        return min((abs(left - self.lefts[at]) for left in others), default=0.0)

    def parts_at(self, cells: Sequence[Cell]) -> dict[str, str]:
        """Return the cells by the heading that each begins under; empty if one is under none."""
        parts: dict[str, str] = {}
        roles: list[str] = []
        for cell in cells:
            near = min(range(len(self.lefts)), key=lambda at: self._distance(at, cell))
            name = self.names[near]
            apart = self._distance(near, cell)[0] > _UNDER * self._spread(near)
            if apart or (name in parts and name not in _REPEATED):
                return {}
            if name == "role" and cell.text.strip().casefold() in _MARKED:
                roles.append(self.texts[near])
                continue
            parts[name] = f"{parts.get(name, '')} {cell.text}".strip()
        if roles:
            parts["who"] = roles[0] if len(roles) == 1 else "both"
        if unit := parts.pop("unit", ""):
            parts["response"] = f"{parts.get('response', '')} {unit}".strip()
        return parts if parts.get("challenge") else {}


def heads_of(row: Row) -> Heads:
    """Return the columns that ``row`` heads; none if it is not a heading."""
    names = head_parts(row)
    placed = names and _are_unlike(names) and row.origin.box is not None
    lefts = tuple(cell.left for cell in row.cells) if placed else ()
    rights = tuple(cell.right for cell in row.cells)
    return Heads(names, lefts, rights, tuple(cell.text for cell in row.cells))


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
    if len(found) > 2 and _NUMBER.fullmatch(found[0].text.strip()):
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
    if rest:
        parts["response"] = rest[0]
    if len(rest) > 1:
        parts["more"] = " ".join(rest[1:])
    return parts
