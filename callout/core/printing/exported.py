"""A list as Markdown and as rows of a table."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from callout.core.printing.shown_list import ShownItem, ShownList

HEADINGS: Final = (
    "list", "section", "number", "id", "challenge", "response", "critical", "wrong", "remarks",
    "caution", "note",
)  # fmt: skip
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
"""First characters that make a spreadsheet read a formula (OWASP, CSV injection; from memory)."""


def list_markdown(shown: ShownList, safety: str) -> str:
    """Return the list as Markdown (CommonMark with tables)."""
    lines = [f"# {_escape_markdown(shown.title)}", ""]
    lines += [f"- {name}: {_escape_markdown(value)}" for name, value in shown.facts]
    for panel in shown.flow:
        lines.append(
            f"- Flow, {_escape_markdown(panel.panel)}: {_escape_markdown('; '.join(panel.actions))}"
        )
    for section in shown.sections:
        lines += ["", *([f"## {_escape_markdown(section.title)}", ""] if section.title else [])]
        lines += ["| Challenge | Response | Critical | Remarks |", "|---|---|---|---|"]
        lines += [_table_row(item) for item in section.items]
    lines += ["", f"**{_escape_markdown(shown.completion_call)}**", "", safety, ""]
    return "\n".join(lines)


def _table_row(item: ShownItem) -> str:
    details = [*item.remarks, *(f"caution: {c}" for c in item.cautions), *item.notes]
    critical = "yes" if item.critical else ""
    cells = (item.challenge, item.response, critical, "; ".join(details))
    return "| " + " | ".join(map(_escape_markdown, cells)) + " |"


def _escape_markdown(text: str) -> str:
    for mark in ("\\", "|", "<", "*", "_", "`"):
        text = text.replace(mark, "\\" + mark)
    return text


def table_rows(lists: Iterable[ShownList]) -> Iterator[tuple[str, ...]]:
    """Yield the headings, then one row for each item."""
    yield HEADINGS
    for shown in lists:
        for section in shown.sections:
            for item in section.items:
                yield _guarded_cells(_item_cells(shown, section.title, item))


def _item_cells(shown: ShownList, section: str, item: ShownItem) -> tuple[str, ...]:
    return (
        shown.title,
        section,
        str(item.number),
        item.id,
        item.challenge,
        item.response,
        "yes" if item.critical else "",
        " / ".join(item.wrong),
        "; ".join(item.remarks),
        " ".join(item.cautions),
        " ".join(item.notes),
    )


def _guarded_cells(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Return cells guarded against being read as formulas: an apostrophe is put in front."""
    return tuple(f"'{cell}" if cell.startswith(_FORMULA) else cell for cell in cells)
