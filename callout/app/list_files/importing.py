"""Other people's lists: plain text, Markdown, CSV and spreadsheets to drafts."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import TypeVar

from callout.app.list_files.workbooks import WORKBOOKS, workbook_rows
from callout.app.shared.checklist_files import read_text
from callout.core.formats.draft_rows import draft_from_rows
from callout.core.formats.draft_text import draft_from_text
from callout.core.formats.drafts import Draft
from callout.errors import ChecklistInvalid

TEXT = (".txt", ".text", ".md", ".markdown")
TABLES = (".csv", ".tsv")
MOST_ROWS = 2_000
T = TypeVar("T")


def draft_from_file(path: Path) -> Draft:
    """Return the list in ``path``; raise CalloutError when there is none in it."""
    kind = path.suffix.casefold()
    if kind in WORKBOOKS:
        draft = draft_from_rows(_bounded_rows(path, workbook_rows(path, MOST_ROWS + 1)))
    elif kind in TABLES:
        draft = draft_from_rows(_bounded_rows(path, _table_rows(read_text(path), kind)))
    elif kind in TEXT:
        draft = draft_from_text("\n".join(_bounded_rows(path, read_text(path).splitlines())))
    else:
        known = ", ".join((*TEXT, *TABLES, *WORKBOOKS))
        raise ChecklistInvalid(
            f"{path} is a kind of file that callout cannot read.", f"It reads these kinds: {known}."
        )
    if not draft.items:
        hint = "Write one item per line: `Parking brake .... on`."
        raise ChecklistInvalid(f"{path} contains no items.", hint)
    return draft if draft.title else replace(draft, title=_title_from(path))


def _bounded_rows(path: Path, rows: Iterable[T]) -> list[T]:
    found = list(islice(rows, MOST_ROWS + 1))
    if len(found) > MOST_ROWS:
        said = f"{path} has more than {MOST_ROWS:,} lines, which is the limit."
        raise ChecklistInvalid(said, "Put only one list in a file.")
    return found


def _title_from(path: Path) -> str:
    words = path.stem.replace("-", " ").replace("_", " ").strip()
    return words[:1].upper() + words[1:] or "My list"


def _table_rows(text: str, kind: str) -> Iterator[list[str]]:
    """Yield rows; the separator is the one the first line has most of."""
    head = text.split("\n", 1)[0]
    separator = "\t" if kind == ".tsv" else max(",;\t", key=head.count)
    try:
        yield from csv.reader(io.StringIO(text), delimiter=separator)
    except csv.Error as error:
        raise ChecklistInvalid(f"this table cannot be read: {error}.", "Save it as CSV.") from error
