"""Other people's lists: plain text, Markdown, CSV and spreadsheets to drafts."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from callout.app.checklist_files import MAX_BYTES, read_text
from callout.core.draft_rows import draft_from_rows
from callout.core.draft_text import draft_from_text
from callout.core.drafts import Draft
from callout.errors import CalloutError, ChecklistInvalid

TEXT = (".txt", ".text", ".md", ".markdown")
TABLES = (".csv", ".tsv")
WORKBOOKS = (".xlsx", ".xlsm")
MOST_ROWS = 2_000


def draft_from_file(path: Path) -> Draft:
    """Return the list in ``path``; raise CalloutError when there is none in it."""
    kind = path.suffix.casefold()
    if kind in WORKBOOKS:
        draft = draft_from_rows(list(_workbook_rows(path)))
    elif kind in TABLES:
        draft = draft_from_rows(list(_table_rows(read_text(path), kind)))
    elif kind in TEXT:
        draft = draft_from_text(read_text(path))
    else:
        known = ", ".join((*TEXT, *TABLES, *WORKBOOKS))
        raise ChecklistInvalid(f"{path} is of a kind that is not read.", f"Known kinds: {known}.")
    if not draft.items:
        hint = "Write one item a line: `Parking brake .... on`."
        raise ChecklistInvalid(f"{path} holds no items.", hint)
    return draft if draft.title else replace(draft, title=_title_from(path))


def _title_from(path: Path) -> str:
    words = path.stem.replace("-", " ").replace("_", " ").strip()
    return words[:1].upper() + words[1:] or "My list"


def _table_rows(text: str, kind: str) -> Iterator[list[str]]:
    """Yield rows; the separator is the one the first line has most of."""
    head = text.split("\n", 1)[0]
    separator = "\t" if kind == ".tsv" else max(",;\t", key=head.count)
    try:
        for number, row in enumerate(csv.reader(io.StringIO(text), delimiter=separator)):
            if number >= MOST_ROWS:
                return
            yield row
    except csv.Error as error:
        raise ChecklistInvalid(f"this table cannot be read: {error}.", "Save it as CSV.") from error


def _workbook_rows(path: Path) -> Iterator[list[str]]:
    try:
        import openpyxl
    except ImportError as error:
        hint = 'Run: pip install "callout[cards]" - or save the sheet as CSV.'
        raise CalloutError("Reading a spreadsheet needs the openpyxl library.", hint) from error
    if path.is_file() and path.stat().st_size > 10 * MAX_BYTES:
        raise ChecklistInvalid(f"{path} is larger than 10 MB.", "Keep one list in the workbook.")
    try:
        book = openpyxl.load_workbook(path, read_only=True, data_only=True)
    except FileNotFoundError as error:
        raise ChecklistInvalid(f"{path} does not exist.", "Check the name.") from error
    except Exception as error:  # a damaged archive raises whatever zip, XML or the reader raise
        hint = "Open it in a spreadsheet program and save it again, or save it as CSV."
        raise ChecklistInvalid(f"{path} is not a workbook that can be read.", hint) from error
    try:
        sheet = book.worksheets[0]
        for row in sheet.iter_rows(max_row=MOST_ROWS, values_only=True):
            yield ["" if cell is None else str(cell) for cell in row]
    finally:
        book.close()
