"""The columns of a table (CSV, spreadsheet, Markdown), by their headings."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from callout.core.formats.drafts import DraftItem

_COLUMNS: Final[Mapping[str, tuple[str, ...]]] = {
    "section": ("section", "group", "heading", "chapter"),
    "id": ("id", "item id"),
    "challenge": (
        "challenge",
        "item",
        "check",
        "control",
        "call",
        "switch",
        "what",
        "step",
        "system",
    ),
    "response": ("response", "reply", "answer", "action", "position", "setting", "state", "status"),
    "wrong": ("wrong", "wrong replies", "wrong reply"),
    "critical": ("critical", "killer"),
    "who": ("who", "role", "by", "responder", "crew", "pilot", "responsible", "by whom", "done by"),
    "when": ("when", "condition", "if"),
    "panel": ("panel", "where", "location"),
    "note": ("note", "notes", "remark", "remarks", "comment"),
    "caution": ("caution", "cautions", "warning"),
    "title": ("list", "checklist", "title"),
}
"""What the heading of a column may be. Common practice."""
_YES: Final = frozenset({"yes", "y", "x", "true", "1", "critical", "\u2713", "\u2714"})
_SEPARATOR: Final = re.compile(r"(?<=\s)/(?=\s)|[|;\n]")


def named_columns(head: Sequence[str]) -> dict[str, int]:
    """Return name -> column index for a header row; empty if the row is not a header."""
    found: dict[str, int] = {}
    for at, cell in enumerate(head):
        name = column_name(cell)
        if name:
            found.setdefault(name, at)
    return found if "challenge" in found else {}


def column_name(heading: str) -> str:
    """Return what a column with that heading holds; empty if the heading is unknown."""
    plain = " ".join(re.sub(r"[^a-z ]+", " ", heading.casefold()).split())
    return next((name for name, called in _COLUMNS.items() if plain in called), "")


def cell_text(row: Sequence[str], at: int) -> str:
    """Return a cell as it was meant: without the apostrophe that guards a formula."""
    cell = row[at] if at < len(row) else ""
    guarded = len(cell) > 1 and cell[0] == "'" and cell[1] in "=+-@"
    return " ".join((cell[1:] if guarded else cell).split(" ")).strip()


def item_of_cells(cell: Mapping[str, str]) -> DraftItem:
    """Return the item of a row whose replies are written in our own export format."""
    return DraftItem(
        challenge=" ".join(cell["challenge"].split()),
        responses=_several_replies(cell.get("response", "")),
        wrong=_several_replies(cell.get("wrong", "")),
        critical=cell.get("critical", "").casefold() in _YES,
        note=" ".join(cell.get("note", "").split()),
        caution=" ".join(cell.get("caution", "").split()),
        panel=cell.get("panel", ""),
        who=cell.get("who", "").casefold().replace(" ", "-"),
        when=cell.get("when", ""),
        id=cell.get("id", ""),
    )


def _several_replies(cell: str) -> tuple[str, ...]:
    parts = (" ".join(part.split()) for part in _SEPARATOR.split(cell))
    return tuple(dict.fromkeys(part for part in parts if part))
