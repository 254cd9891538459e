"""A Word file as rows: paragraphs and tables in order (in a process of its own)."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from callout.core.authoring.rows import divided_row
from callout.core.authoring.side_by_side import blanks_apart
from callout.core.paper.page import Cell, Origin, Row
from callout.core.sentences import authoring as say
from callout.errors import ChecklistInvalid

if TYPE_CHECKING:
    from docx.table import Table
    from docx.text.paragraph import Paragraph

_MOST_UNPACKED: Final = 100_000_000
_MOST_COLUMNS: Final = 63
"""Columns of a Word table; a cell that claims to be wider would be repeated for each of them."""


def word_rows(path: Path) -> Iterator[Row]:
    """Yield the rows of ``path``; raise ChecklistInvalid if it is not a Word file."""
    try:
        yield from _numbered_rows(path)
    except (ChecklistInvalid, MemoryError):
        raise
    except Exception as error:  # whatever the library raises over a damaged file
        raise ChecklistInvalid(say.word_unreadable(path), say.SAVE_WORD_AGAIN) from error


def _numbered_rows(path: Path) -> Iterator[Row]:
    import docx
    from docx.table import Table

    with zipfile.ZipFile(path) as archive:
        if sum(part.file_size for part in archive.infolist()) > _MOST_UNPACKED:
            raise ChecklistInvalid(say.file_too_large(path, _MOST_UNPACKED), say.ONE_LIST_A_FILE)
    line = 0
    for block in docx.Document(str(path)).iter_inner_content():
        rows = _table_rows(block) if isinstance(block, Table) else _paragraph_rows(block)
        for row in blanks_apart(rows):
            line += 1
            yield replace(row, origin=replace(row.origin, line=line))


def _paragraph_rows(paragraph: Paragraph) -> Iterator[Row]:
    style = (paragraph.style.name or "") if paragraph.style is not None else ""
    listed = style.startswith("List") or (
        paragraph._p.pPr is not None and (paragraph._p.pPr.numPr is not None)
    )
    for text in paragraph.text.split("\n"):
        if not text.strip():
            continue
        runs = [run for run in paragraph.runs if run.text.strip()]
        row = Row(
            (Cell(text.strip()),),
            Origin(0, 0, text.strip()),
            bold=bool(runs) and all(run.bold for run in runs),
            bullet=listed,
            heading=style.startswith(("Heading", "Title")),
        )
        yield row if row.heading else divided_row(row)


def _table_rows(table: Table) -> Iterator[Row]:
    for row in table.rows:
        if any(tc.grid_span > _MOST_COLUMNS for tc in row._tr.tc_lst):
            raise ValueError("a cell is wider than a table can be")
        texts: list[str] = []
        last: Any = None
        for cell in row.cells:
            if cell._tc is not last:  # a merged cell is repeated for each column
                texts.append(" ".join(cell.text.split()))
            last = cell._tc
        filled = [text for text in texts if text]
        if filled:
            cells = tuple(Cell(text) for text in filled)
            yield divided_row(Row(cells, Origin(0, 0, " | ".join(filled)), leader=len(cells) > 1))
