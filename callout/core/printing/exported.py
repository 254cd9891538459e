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
"""First characters that a spreadsheet takes for a formula (OWASP, CSV injection; from memory)."""


def markdown(shown: ShownList, safety: str) -> str:
    """Return the list as Markdown (CommonMark with tables)."""
    lines = [f"# {_md(shown.title)}", ""]
    lines += [f"- {name}: {_md(value)}" for name, value in shown.facts]
    for panel in shown.flow:
        lines.append(f"- Flow, {_md(panel.panel)}: {_md('; '.join(panel.actions))}")
    for section in shown.sections:
        lines += ["", *([f"## {_md(section.title)}", ""] if section.title else [])]
        lines += ["| Challenge | Response | Critical | Remarks |", "|---|---|---|---|"]
        lines += [_row(item) for item in section.items]
    lines += ["", f"**{_md(shown.completion_call)}**", "", safety, ""]
    return "\n".join(lines)


def _row(item: ShownItem) -> str:
    details = [*item.remarks, *(f"caution: {c}" for c in item.cautions), *item.notes]
    critical = "yes" if item.critical else ""
    cells = (item.challenge, item.response, critical, "; ".join(details))
    return "| " + " | ".join(map(_md, cells)) + " |"


def _md(text: str) -> str:
    for mark in ("\\", "|", "<", "*", "_", "`"):
        text = text.replace(mark, "\\" + mark)
    return text


def table_rows(lists: Iterable[ShownList]) -> Iterator[tuple[str, ...]]:
    """Yield a row for each item, the headings first."""
    yield HEADINGS
    for shown in lists:
        for section in shown.sections:
            for item in section.items:
                yield _guarded(_cells(shown, section.title, item))


def _cells(shown: ShownList, section: str, item: ShownItem) -> tuple[str, ...]:
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


def _guarded(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Return cells of which none is taken for a formula: an apostrophe goes before it."""
    return tuple(f"'{cell}" if cell.startswith(_FORMULA) else cell for cell in cells)
