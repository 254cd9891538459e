"""What belongs to the page and not to the list: headers, footers, page numbers, imprints."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import Final

from callout.core.authoring.page import Page, Row

_EDGE: Final = 0.13
"""Share of a page at its top and bottom where headers and footers stand. Common practice."""
_IMPRINT: Final = re.compile(
    r"\bpage\s*\d+(\s*(of|/)\s*\d+)?\b"
    r"|\b(rev(ision)?|issue|edition|amendment|version)\b[ .:]*(no\.?\s*)?\w{0,3}\d"
    r"|\b(effective|issued|printed|revised|valid from|last updated)\b.*\d"
    r"|\u00a9|\(c\)|\bcopyright\b|\ball rights reserved\b|\buncontrolled\b"
    r"|\bnot for (operational|real|actual|navigation|flight)\b|\bintentionally left blank\b"
    r"|\b(for )?(simulation|simulator|training|study)( use)? (use )?only\b|\bwww\.|\bhttps?:"
    r"|\bcontinued (on|overleaf|from)\b|\bdo not (copy|duplicate|reproduce)\b",
    re.IGNORECASE,
)
"""What a page says of itself. Common practice."""
_NUMBER: Final = re.compile(
    r"\W*(\d{1,3}|\d{1,3}\s*(/|of)\s*\d{1,3}|[ivx]{1,4}|[A-Z0-9]{1,3}-\d{1,3})\W*"
)
"""The number of a page, if it stands at an edge."""


def leave_out_furniture(pages: Sequence[Page], rows: Sequence[Row]) -> tuple[list[Row], list[Row]]:
    """Return (what may belong to the list, page furniture), both in order."""
    sizes = {page.number: page.height for page in pages}
    seen = Counter(
        key for key in {(_row_key(row), row.origin.page) for row in rows if _at_edge(row, sizes)}
    )
    pages_with = Counter(text for text, _ in seen)
    kept: list[Row] = []
    out: list[Row] = []
    told: set[str] = set()
    for row in rows:
        key = _row_key(row)
        again = not _is_item(row) and _at_edge(row, sizes) and pages_with[key] > 1
        if again and row.origin.page == 1 and _may_be_title(row) and key not in told:
            again = False  # the first of them is the title of the list
            told.add(key)
        numbered = _at_edge(row, sizes) and _NUMBER.fullmatch(row.origin.text) is not None
        imprint = not _is_item(row) and _IMPRINT.search(row.origin.text) is not None
        (out if again or numbered or imprint else kept).append(row)
    return kept, out


def _row_key(row: Row) -> str:
    """Return a text by which the same header is known on each page: numbers differ."""
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
