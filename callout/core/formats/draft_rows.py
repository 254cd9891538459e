"""Rows of a table (CSV, spreadsheet, Markdown) to a draft."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from callout.core.formats.drafts import Draft, DraftBuilder, DraftItem

_COLUMNS: Final[Mapping[str, tuple[str, ...]]] = {
    "section": ("section", "group", "heading", "chapter"),
    "id": ("id", "item id"),
    "challenge": ("challenge", "item", "check", "control", "call"),
    "response": ("response", "reply", "answer", "action", "position", "setting", "state"),
    "wrong": ("wrong", "wrong replies", "wrong reply"),
    "critical": ("critical", "killer"),
    "who": ("who", "role", "by", "responder"),
    "when": ("when", "condition", "if"),
    "panel": ("panel", "where", "location"),
    "note": ("note", "notes", "remark", "remarks", "comment"),
    "caution": ("caution", "cautions", "warning"),
    "title": ("list", "checklist", "title"),
}
"""What the heading of a column may be called. Common practice."""
_YES: Final = frozenset({"yes", "y", "x", "true", "1", "critical", "\u2713", "\u2714"})
_SEPARATOR: Final = re.compile(r"(?<=\s)/(?=\s)|[|;\n]")


def draft_from_rows(rows: Sequence[Sequence[str]]) -> Draft:
    """Return the list in ``rows``; without headings the columns are challenge and response."""
    filled = [[cell.strip() for cell in row] for row in rows if any(c.strip() for c in row)]
    columns = _named_columns(filled[0]) if filled else {}
    body = filled[1:] if columns else filled
    columns = columns or {"challenge": 0, "response": 1}
    builder = DraftBuilder()
    section = ""
    for row in body:
        cell = {name: _cell_text(row, at) for name, at in columns.items()}
        builder.title = builder.title or cell.get("title", "")
        if not cell.get("response") and sum(map(bool, row)) == 1 and "section" not in columns:
            builder.heading(next(filter(None, row)))
            continue
        if cell.get("section", section) != section:
            section = cell["section"]
            builder.heading(section)
        if cell.get("challenge"):
            builder.item(_draft_item(cell))
    return builder.draft()


def _named_columns(head: Sequence[str]) -> dict[str, int]:
    """Return name -> place of the columns a first row names; empty when it is not a heading."""
    found: dict[str, int] = {}
    for at, cell in enumerate(head):
        plain = " ".join(re.sub(r"[^a-z ]+", " ", cell.casefold()).split())
        for name, called in _COLUMNS.items():
            if plain in called:
                found.setdefault(name, at)
    return found if "challenge" in found else {}


def _cell_text(row: Sequence[str], at: int) -> str:
    cell = row[at] if at < len(row) else ""
    guarded = len(cell) > 1 and cell[0] == "'" and cell[1] in "=+-@"
    return " ".join((cell[1:] if guarded else cell).split(" ")).strip()


def _draft_item(cell: Mapping[str, str]) -> DraftItem:
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
