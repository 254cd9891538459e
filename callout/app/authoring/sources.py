"""Reads what somebody has: text, tables, spreadsheets, Word, PDF, photographs."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import islice
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeVar

from callout.app.authoring.paper import DOCUMENTS, PAPER, read_document, read_paper
from callout.app.list_files.workbooks import WORKBOOKS, workbook_rows
from callout.app.shared.checklist_files import read_text
from callout.app.shared.tables import default_tables
from callout.core.authoring.accounting import accounted
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import LeftOut, Reading, draft_of, with_layout_asked
from callout.core.authoring.reading import read_rows
from callout.core.authoring.texts import read_list_text, read_table
from callout.core.authoring.unread import with_unread
from callout.core.formats.drafts import Draft
from callout.core.paper.page import Page
from callout.core.sentences import authoring as say
from callout.core.weighing.choosing import best_rows, dropped_names, poor_pages
from callout.errors import ChecklistInvalid

TEXT: Final = (".txt", ".text", ".md", ".markdown")
TABLES: Final = (".csv", ".tsv")
KINDS: Final = (*TEXT, *TABLES, *WORKBOOKS, *DOCUMENTS, *PAPER)
"""Endings of the file names that can be read."""
MOST_ROWS: Final = 2_000
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Source:
    """A source as read: its interpretation, and the pictures it came from."""

    reading: Reading
    pages: tuple[Page, ...] = ()
    pictures: Mapping[int, bytes] = field(default_factory=lambda: MappingProxyType({}))
    """Page -> JPEG, in the proportions of the page."""


@lru_cache(maxsize=1)
def known_rivals() -> Mapping[str, frozenset[str]]:
    """Return a function from a word to the words that exclude it, as the judge knows them."""
    opposites = default_tables().opposites
    return {word: frozenset(others) for word, others in opposites.items()}


def read_source(path: Path) -> Source:
    """Return the contents of ``path``; raise CalloutError if there is no list in it."""
    kind = path.suffix.casefold()
    source = _paper_source(path) if kind in PAPER else Source(_written_reading(path, kind))
    if not source.reading.guesses:
        raise ChecklistInvalid(say.no_items(path), say.HOW_ITEMS_LOOK)
    if not source.reading.title:
        titled = replace(source.reading, title=_title_from(path))
        source = replace(source, reading=titled)
    return source


def draft_from_file(path: Path) -> Draft:
    """Return the list in ``path`` as first understood; raise CalloutError if there is none."""
    return draft_of(read_source(path).reading)


def _written_reading(path: Path, kind: str) -> Reading:
    rivals = known_rivals()
    if kind in WORKBOOKS:
        rows = _bounded_rows(path, workbook_rows(path, MOST_ROWS + 1))
        return read_table(rows, rivals, path.name)
    if kind in TABLES:
        return read_table(
            _bounded_rows(path, _table_rows(read_text(path), kind)), rivals, path.name
        )
    if kind in TEXT:
        lines = _bounded_rows(path, read_text(path).splitlines())
        return read_list_text("\n".join(lines), rivals, path.name)
    if kind in DOCUMENTS:
        document = _bounded_rows(path, read_document(path))
        return accounted(read_rows(document, rivals, path.name), document)
    raise ChecklistInvalid(say.unknown_kind(path), say.known_kinds(", ".join(KINDS)))


def _paper_source(path: Path) -> Source:
    paper = read_paper(path)
    rows = best_rows(paper.pages, known_rivals())
    kept, furniture = leave_out_furniture(paper.pages, rows)
    reading = read_rows(_bounded_rows(path, kept), known_rivals(), path.name)
    out = (
        *reading.left_out,
        *(LeftOut(row.origin, "furniture") for row in furniture),
        *dropped_names(rows),
    )
    whole = accounted(replace(reading, left_out=out), kept, paper.pages)
    whole = with_layout_asked(whole, poor_pages(paper.pages, rows, known_rivals()))
    return Source(with_unread(whole, paper.pages), paper.pages, paper.pictures)


def _bounded_rows(path: Path, rows: Iterable[T]) -> list[T]:
    found = list(islice(rows, MOST_ROWS + 1))
    if len(found) > MOST_ROWS:
        raise ChecklistInvalid(say.too_many_lines(path, MOST_ROWS), say.ONE_LIST_A_FILE)
    return found


def _title_from(path: Path) -> str:
    words = path.stem.replace("-", " ").replace("_", " ").strip()
    return words[:1].upper() + words[1:] or "My list"


def _table_rows(text: str, kind: str) -> Iterator[list[str]]:
    """Yield rows; the separator is the most frequent one in the first line."""
    head = text.split("\n", 1)[0]
    separator = "\t" if kind == ".tsv" else max(",;\t", key=head.count)
    try:
        yield from csv.reader(io.StringIO(text), delimiter=separator)
    except csv.Error as error:
        raise ChecklistInvalid(say.table_unreadable(error), say.SAVE_AS_CSV) from error
