"""Turns texts, Markdown and tables into a reading."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.accounting import accounted
from callout.core.authoring.collecting import Collector
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import NO_CHALLENGE, NOT_PLACED, Guess, LeftOut, Reading
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import divided_row
from callout.core.authoring.side_by_side import blanks_apart
from callout.core.formats.draft_rows import cell_text, item_of_cells, named_columns
from callout.core.formats.draft_text import clean_markdown
from callout.core.paper.blanks import blanks_in
from callout.core.paper.page import Cell, Origin, Row

Rivals = Mapping[str, frozenset[str]]
_TABLE_RULE: Final = re.compile(r":?-+:?")
_RULED: Final = frozenset("-=_*# ")
"""What a line consists of that only divides a text."""
_HEADING: Final = re.compile(r"^\s*#{1,6}\s++(\S.*)$")


def read_list_text(text: str, rivals: Rivals, source: str = "") -> Reading:
    """Return the reading of a plain text or Markdown; its first heading or line is the title."""
    lines = text.replace("\r\n", "\n").split("\n")
    table = [(n, line) for n, line in enumerate(lines, start=1) if line.lstrip().startswith("|")]
    if len(table) < 2:
        kept, furniture = leave_out_furniture((), text_rows(lines))
        reading = read_rows(kept, rivals, source)
        out = (LeftOut(row.origin, "furniture") for row in furniture)
        left_out = (*reading.left_out, *out, *_blanks_alone(lines))
        return accounted(replace(reading, left_out=left_out), kept)
    outside = ["" if line.lstrip().startswith("|") else line for line in lines]
    about = read_rows(text_rows(outside), rivals, source)
    about = accounted(about, text_rows(outside))
    rows = [(n, _line_cells(line)) for n, line in table if not _is_rule(line)]
    made = read_table([cells for _, cells in rows], rivals, source, [n for n, _ in rows])
    return replace(
        made,
        title=about.title or made.title,
        completion_call=about.completion_call,
        left_out=(*about.left_out, *made.left_out, *_blanks_alone(outside)),
    )


def text_rows(lines: Sequence[str]) -> list[Row]:
    """Return the rows of a plain text; lines are counted as an editor counts them."""
    rows: list[Row] = []
    empty = 9
    for number, line in enumerate(lines, start=1):
        bare = line.rstrip()
        if not bare.strip() or set(bare.strip()) <= _RULED:
            empty += 1
            continue
        heading = _HEADING.match(bare)
        shown = heading[1].rstrip("#").rstrip() if heading else bare.strip()
        indent = (len(bare) - len(bare.lstrip(" "))) / 2
        row = Row((Cell(shown),), Origin(0, number, bare.strip()), indent, gap=float(empty))
        rows.append(replace(row, heading=True) if heading else divided_row(row))
        empty = 0
    return list(blanks_apart(rows))


def _blanks_alone(lines: Sequence[str]) -> Iterator[LeftOut]:
    """Yield lines of a text that are nothing but a short run of underscores: a blank, or a rule."""
    for number, line in enumerate(lines, start=1):
        if set(line.strip()) <= _RULED and blanks_in(line):
            yield LeftOut(Origin(0, number, line.strip()), NOT_PLACED)


def read_table(
    rows: Sequence[Sequence[str]],
    rivals: Rivals,
    source: str = "",
    numbers: Sequence[int] | None = None,
) -> Reading:
    """Return the list in ``rows``; without headings the columns are challenge and response.

    ``numbers`` are the line numbers of the rows. A table with ids is one of our own exports: its
    replies are taken literally.
    """
    numbered = list(zip(numbers or range(1, len(rows) + 1), rows, strict=True))
    filled = [
        (n, [cell.strip() for cell in row]) for n, row in numbered if any(map(str.strip, row))
    ]
    columns = named_columns(filled[0][1]) if filled else {}
    out = Collector(rivals, source)
    section = ""
    for number, row in filled[1:] if columns else filled:
        names = columns or {"challenge": 0, "response": 1}
        cell = {name: cell_text(row, at) for name, at in names.items()}
        text = " | ".join(filter(None, row))
        made = Row((Cell(text),), Origin(0, number, text), leader=True)
        out.title = out.title or cell.get("title", "")
        if not cell.get("response") and sum(map(bool, row)) == 1 and "section" not in names:
            out.section_heading(next(filter(None, row)))
            continue
        if cell.get("section", section) != section:
            section = cell["section"]
            out.section_heading(section)
        if not cell.get("challenge"):
            out.leave_out(made, NO_CHALLENGE)
            continue
        if _is_own(filled[0][1], columns):
            out.known_item(Guess(item_of_cells(cell), made.origin))
        else:
            out.item(made, {**cell, "response": _one_line(cell.get("response", ""))})
    return accounted(out.reading(), ())


_OWN_HEADINGS: Final = ["challenge", "response", "critical", "remarks"]


def _is_own(head: Sequence[str], columns: Mapping[str, int]) -> bool:
    """Say whether a table is one of our own exports, in which " / " divides alternatives."""
    return "id" in columns or [cell.casefold() for cell in head] == _OWN_HEADINGS


def _one_line(response: str) -> str:
    """Return a cell as one line in which each line, or part after a semicolon, is an
    alternative.
    """
    return " or ".join(part for part in map(str.strip, re.split(r"[;\n|]", response)) if part)


def _is_rule(line: str) -> bool:
    """Say whether a line of a table only separates its heading from the rest."""
    cells = line.strip().strip("|").split("|")
    return all(_TABLE_RULE.fullmatch(cell.strip()) for cell in cells)


def _line_cells(line: str) -> list[str]:
    inside = line.strip().strip("|")
    return [clean_markdown(cell.replace("\\|", "|")) for cell in re.split(r"(?<!\\)\|", inside)]
