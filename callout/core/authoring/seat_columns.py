"""Tables with a column for each pilot: the reply stands in that of the one who answers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from callout.core.authoring.asides import role_of
from callout.core.formats.drafts import is_phase_name
from callout.core.paper.page import Cell, Row

_MARKED: Final = frozenset("x\u00d7\u2715\u2717\u2713\u2714\u25cf\u2022\u25a0*")
"""What a cell holds under the name of a crew member who answers."""
_BOUND: Final = re.compile(
    r"(?:min|max)(?:imum)?|at (?:least|most)|above|below|[<>]", re.IGNORECASE
)
_OPEN: Final = re.compile(r"(?:\b(?:or|and|to)|[/,&+])$", re.IGNORECASE)
_NEAR: Final = 0.7
"""How far a cell may be from the middle of both columns, in letter heights."""


def heads_seats(row: Row) -> bool:
    """Say whether a row has a column for each pilot, in which the one who answers has the reply."""
    seats = [role_of(cell.text) for cell in row.cells[1:]]
    plain = not (row.leader or row.bullet or "__" in row.origin.text)
    return plain and len(seats) > 1 and None not in seats and len(set(seats)) == len(seats)


def is_over_both(cell: Cell, columns: Sequence[tuple[float, float]], height: float) -> bool:
    """Say whether a cell is set in the middle of two columns: both pilots answer.

    A reply that begins at the edge of the second column is not, however short it is.
    """
    middle = sum(left + right for left, right in columns) / 4
    em = max(height, 1.0)
    centred = abs((cell.left + cell.right) / 2 - middle) < _NEAR * em
    return centred and cell.left < middle - em and cell.right > middle + em


def told_columns(columns: Sequence[tuple[str, str, str]]) -> dict[str, str]:
    """Return the parts of an item from (name, heading, text) of each of its cells."""
    parts: dict[str, str] = {}
    roles: list[str] = []
    said: list[str] = []
    for name, heading, text in columns:
        marked = name == "role" and text.casefold() in _MARKED
        if marked or (name == "role" and role_of(text) is None):
            roles += [heading] if re.search(r"\w", text) or marked else []
            said += [] if marked or text in said or not re.search(r"\w", text) else [text]
        elif name == "side":
            said.append(f"{heading} {text}")
        elif name == "response":
            said.append(text)
        elif name == "when" and is_phase_name(text):
            parts["section"] = text
        else:
            parts[name] = f"{parts.get(name, '')} {text}".strip()
    if roles:
        parts["who"] = roles[0] if len(roles) == 1 else "both"
    bounds = [f"{name} {parts.pop(name)}" for name in ("min", "max") if name in parts]
    said += [", ".join(bounds)] if bounds else []
    bare = said and (_BOUND.fullmatch(said[0]) or _OPEN.search(said[0]))
    told = (" " if bare else ", ").join(said)
    whole = f"{told} {parts.pop('unit', '')}".strip()
    return {**parts, "response": whole} if whole else parts
