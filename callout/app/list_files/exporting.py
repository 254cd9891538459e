"""Exports lists as Markdown, CSV and printable cards."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from enum import Enum
from pathlib import Path

from callout.app.shared.checklist_files import flight_beside, load_checklist, load_flight
from callout.app.shared.found_files import read_any, yaml_files
from callout.app.shared.tables import default_tables
from callout.core.model.checklist import Checklist
from callout.core.printing.card import Size, card_lines
from callout.core.printing.exported import list_markdown, table_rows
from callout.core.printing.shown_list import ShownList, shown_list
from callout.core.sentences import files as sentences
from callout.errors import CalloutError, ChecklistInvalid
from callout.outlet import save_text


class Format(Enum):
    """What a list can be exported to."""

    MARKDOWN = "md"
    CSV = "csv"
    HTML = "html"
    PDF = "pdf"


def format_of(path: Path | None, wanted: str | None) -> Format:
    """Return the requested format, or the one that a file name implies; raise CalloutError."""
    name = wanted or (path.suffix.casefold().lstrip(".") if path else Format.MARKDOWN.value)
    name = {"markdown": "md", "htm": "html"}.get(name, name)
    try:
        return Format(name)
    except ValueError as error:
        known = ", ".join(f".{f.value}" for f in Format)
        raise CalloutError(
            sentences.unknown_ending(path), sentences.known_endings(known)
        ) from error


def shown_lists(
    paths: Sequence[Path], overlays: Sequence[Path], flight_file: Path | None
) -> list[ShownList]:
    """Return the lists in files and folders in flight order; raise ChecklistInvalid."""
    files = [file for path in paths for file in (_lists_in(path) if path.is_dir() else [path])]
    shown = []
    for file in files:
        beside = flight_file or flight_beside(file)
        flight = load_flight(beside) if beside else None
        one = shown_list(load_checklist(file, overlays), flight, default_tables())
        aircraft = (("Aircraft", flight.aircraft),) if flight and flight.aircraft else ()
        shown.append(replace(one, facts=(*aircraft, *one.facts)))
    if not shown:
        raise ChecklistInvalid(sentences.NO_LISTS, sentences.NO_LISTS_HINT)
    return shown


def _lists_in(folder: Path) -> list[Path]:
    found = [read_any(path) for path in yaml_files(folder)]
    lists = [(f.content, f.path) for f in found if isinstance(f.content, Checklist)]
    return [path for checklist, path in sorted(lists, key=lambda pair: pair[0].phase.order)]


def text_of(shown: Sequence[ShownList], wanted: Format, safety: str) -> str:
    """Return lists as Markdown or CSV."""
    if wanted is Format.CSV:
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows(table_rows(shown))
        return out.getvalue()
    return "\n".join(list_markdown(one, safety) for one in shown)


def write_cards(
    shown: Sequence[ShownList], wanted: Format, size: Size, fold: bool, safety: str, path: Path
) -> str:
    """Write printable cards; return what was written, in words. Raises CalloutError."""
    today = datetime.now().astimezone().date().isoformat()
    cards = [tuple(card_lines(one, today)) for one in shown]
    if wanted is Format.PDF:
        from callout.app.list_files.card_pdf import write_pdf

        pages = write_pdf(cards, size, fold, safety, path)
        return f"{path}: {pages} card {'page' if pages == 1 else 'pages'}."
    from callout.app.list_files.card_html import html_of

    save_text(path, html_of(cards, size, fold, safety))
    return f"{path}: {len(cards)} {'card' if len(cards) == 1 else 'cards'}."
