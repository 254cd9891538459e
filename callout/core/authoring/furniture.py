"""What belongs to the page rather than the list: headers, footers, page numbers, imprints."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import Final

from callout.core.paper.page import Page, Row

_EDGE: Final = 0.13
"""Share of a page at its top and bottom used by headers and footers. Common practice."""
_IMPRINT: Final = re.compile(
    r"\b(?:page|sheet|pg?\.)\s*\d+(\s*(of|/)\s*\d+)?\b"
    r"|\b(rev(ision)?|iss(ue)?|edition|amendment|version)\b[ .:]*(no\.?\s*)?\w{0,3}\d"
    r"|\b(?:rev(?:ision)?|iss(?:ue)?|edition|amendment)\.? (?-i:[A-Z])\b"
    r"|\b(effective|issued|printed|revised|valid from|last updated)\b.*\d"
    r"|\u00a9|\(c\)\s*(?:\d{4}|copyright)|\bcopyright\b|\ball rights reserved\b|\buncontrolled\b"
    r"|\bnot for (operational|real|actual|navigation|flight)\b|\bintentionally left blank\b"
    r"|\b(for )?(simulation|simulator|training|study)( use)? (use )?only\b|\bwww\.|\bhttps?:"
    r"|\bcontinued (on|overleaf|from)\b|\bdo not (copy|duplicate|reproduce)\b",
    re.IGNORECASE,
)
"""What a page says about itself. Common practice."""
_TAB: Final = 1.5
"""Height of a lone letter that marks a section."""
_SMALL, _CLEAR = 0.85, 2.0
"""Letter size of headers and footers relative to the usual one, and the clear space above them."""
_FAR: Final = 6.0
"""Clear space above a last line that can only be a footer."""
_TITLE: Final = 1.2
"""Height of the letters of a title, relative to those of the header above it."""
_ALPHABET: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_FEWEST_LETTERS: Final = 3
_OF_PAGES: Final = re.compile(r"(?:page )?\d{1,3}\s*(?:/|of)\s*\d{1,3}", re.IGNORECASE)
_END: Final = re.compile(
    r"\W*(?:the )?end(?: of (?:the )?(?:check ?list|procedure|list|drill|section|card|page))?\W*",
    re.IGNORECASE,
)
"""What stands under a last item."""
_NUMBER: Final = re.compile(
    r"\W*(\d{1,3}|\d{1,3}\s*(/|of)\s*\d{1,3}|[ivx]{1,4}|[A-Z0-9]{1,3}-\d{1,3})\W*"
)
"""A page number, if it is at an edge."""


def leave_out_furniture(pages: Sequence[Page], rows: Sequence[Row]) -> tuple[list[Row], list[Row]]:
    """Return (lines that may belong to the list, page furniture), both in order."""
    sizes = {page.number: page.height for page in pages}
    seen = Counter(
        key for key in {(_row_key(row), row.origin.page) for row in rows if _at_edge(row, sizes)}
    )
    outer = _outer_rows(rows)
    pages_with = Counter(text for text, _ in seen)
    kept: list[Row] = []
    out: list[Row] = []
    told: set[str] = set()
    for at, row in enumerate(rows):
        key = _row_key(row)
        again = not _is_item(row) and _at_edge(row, sizes) and pages_with[key] > 1
        if again and row.origin.page == 1 and _may_be_title(row) and key not in told:
            again = False  # the first of them is the title of the list
            told.add(key)
        numbered = _at_edge(row, sizes) and _NUMBER.fullmatch(row.origin.text) is not None
        imprint = not _is_item(row) and _IMPRINT.search(row.origin.text) is not None
        placed = len(row.cells) > 1 and row.origin.box is not None
        imprint = imprint and (not placed or id(row) in outer)
        after = rows[at + 1] if at + 1 < len(rows) else None
        small = id(row) in outer and _at_edge(row, sizes) and _stands_apart(row, after)
        sheet = _is_of_sheet(row, id(row) in outer) or _END.fullmatch(row.origin.text) is not None
        (out if again or numbered or imprint or small or sheet else kept).append(row)
    return _without_level(kept, out, sizes)


def _is_of_sheet(row: Row, outer: bool) -> bool:
    """Say whether a line is the letters over the columns of a sheet, or its name and page."""
    texts = [cell.text.strip() for cell in row.cells]
    signs = row.origin.text.split()
    letters = len(signs) >= _FEWEST_LETTERS and "".join(signs) in _ALPHABET
    tab = len(texts) == 1 and re.fullmatch(r"[A-Z]", texts[0]) and row.height > _TAB
    paged = len(texts) > 2 and _OF_PAGES.fullmatch(texts[-1]) is not None
    return bool(tab) or letters or (outer and paged and not _is_item(row))


def _outer_rows(rows: Sequence[Row]) -> set[int]:
    """Return the first two rows of each page and the last two, from top to bottom."""
    pages: dict[int, list[Row]] = {}
    for row in rows:
        if row.origin.box is not None:
            pages.setdefault(row.origin.page, []).append(row)
    outer: set[int] = set()
    for found in pages.values():
        found.sort(key=lambda row: row.origin.box.middle if row.origin.box else 0.0)
        outer |= {id(row) for row in (*found[:2], *found[-2:])}
    return outer


def _stands_apart(row: Row, after: Row | None) -> bool:
    """Say whether a row is clear of the row above and has small letters, is far from it, or is in
    parts above a title.
    """
    if row.leader or row.bullet or row.gap <= _CLEAR:
        return False
    last = after is None or after.origin.page != row.origin.page
    above = after is not None and len(after.cells) == 1 and after.height > _TITLE * row.height
    headed = len(row.cells) > 1 and row.origin.line == 1 and above and not row.line
    return row.height < _SMALL or (last and row.gap > _FAR) or headed


def _without_level(
    kept: Sequence[Row], out: Sequence[Row], sizes: dict[int, float]
) -> tuple[list[Row], list[Row]]:
    """Return (kept, furniture): anything at an edge and level with furniture is furniture too."""
    lines = [row for row in out if len(row.origin.text) > 1]  # a tab stands beside items
    boxes = [(row.origin.page, row.origin.box) for row in lines if _at_edge(row, sizes)]

    def is_level(row: Row) -> bool:
        box = row.origin.box
        return box is not None and _at_edge(row, sizes) and any(
            page == row.origin.page and other and abs(other.middle - box.middle) < other.height / 2
            for page, other in boxes
        )  # fmt: skip

    again = [row for row in kept if is_level(row) and not _is_item(row)]
    ids = {id(row) for row in again}
    return [row for row in kept if id(row) not in ids], [*out, *again]


def _row_key(row: Row) -> str:
    """Return a text that identifies the same header on each page, whatever its numbers."""
    return re.sub(r"[\d\W]+", " ", row.origin.text.casefold()).strip()


def _at_edge(row: Row, sizes: dict[int, float]) -> bool:
    height = sizes.get(row.origin.page, 0.0)
    box = row.origin.box
    return bool(height and box) and (
        box is not None and (box.bottom < _EDGE * height or box.top > (1 - _EDGE) * height)
    )


def _may_be_title(row: Row) -> bool:
    return len(row.cells) == 1 and (
        row.height >= 1.15 or re.search(r"\bcheck ?list\b", row.origin.text, re.I) is not None
    )


def _is_item(row: Row) -> bool:
    return len(row.cells) > 1 and (row.leader or row.bullet)
