"""Titles in several parts, which look like a challenge and its response."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from statistics import median
from typing import Final

from callout.core.authoring.likely import response_likeness
from callout.core.authoring.table_heads import head_parts
from callout.core.formats.drafts import is_phase_name
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Row
from callout.core.weighing.lines import LARGER

_TITLES: Final = 3
_STATE: Final = 0.4
_SMALL: Final = 0.85
"""Letter height of the line under a title, relative to most others."""
_LIST_NAME: Final = re.compile(
    r"(?:^|\b(?:normal|expanded|emergency|daily|short|full|operating|flight|cockpit)\s+)"
    r"(?:procedures?|check ?lists?|checks|drills?|pre-?flight|operations?|(?:check|load)? ?card)$",
    re.IGNORECASE,
)
"""What a second part of a title is called: "Normal procedures"."""
_CHECKLIST: Final = re.compile(r"\bcheck ?lists?\b", re.IGNORECASE)
_PAGE_CODE: Final = re.compile(r"[A-Z]{1,3}-\d{1,3}")
_PAGE_OF_BOOK: Final = re.compile(r"\d{1,2}[-\u2013.]\d{1,3}[A-Za-z]?")
"""A page of a chapter; a range looks the same, so it only counts beside large letters."""


def titled(rows: Sequence[Row]) -> list[Row]:
    """Return rows; what stands in two parts over the list and is no item is its title."""
    made = list(rows)
    usual = median([row.gap for row in rows[1:]] or [0.0])
    under_title = bool(made) and len(made[0].cells) == 1 and made[0].height > LARGER
    for at, row in enumerate(made[:_TITLES]):
        if at == 0 and under_title:
            continue
        under = made[at + 1] if at + 1 < len(made) else None
        apart = under is not None and under.gap > max(1.0, 2 * usual)
        small = at == 1 and under_title and row.height < _SMALL
        headed = any(head_parts(other) for other in made[at + 1 : at + _TITLES])
        bold = at == 0 and row.bold and 2 * sum(other.bold for other in rows) < len(rows)
        code = _PAGE_CODE.fullmatch(row.cells[-1].text) or is_phase_name(row.cells[-1].text)
        named = at == 0 and (_is_list_name(row) or code)
        large = row.height > LARGER or row.banner or small or headed or named or bold
        sure = (headed or bold) and BLANK not in row.origin.text
        if len(row.cells) < 2 or row.leader or head_parts(row) or not (apart or large):
            break
        if not sure and _may_be_item(row):
            break
        text = " ".join(cell.text for cell in row.cells)
        cell = replace(row.cells[0], text=text, right=row.cells[-1].right)
        made[at] = replace(row, cells=(cell,), heading=True)
    return made


def _is_list_name(row: Row) -> bool:
    """Say whether a line in two parts ends with what a list is called: "WREN 2: Preflight"."""
    ends = len(row.cells) == 2 and _LIST_NAME.search(row.cells[1].text) is not None
    return ends or (BLANK not in row.origin.text and _CHECKLIST.search(row.origin.text) is not None)


def _may_be_item(row: Row) -> bool:
    large = row.height > LARGER
    code = row.cells[-1].text
    paged = large and _PAGE_OF_BOOK.fullmatch(code)
    if _is_list_name(row) or _PAGE_CODE.fullmatch(code) or paged:
        return False
    return any(
        response_likeness(cell.text) > _STATE and not (large and is_phase_name(cell.text))
        for cell in row.cells[1:]
    )
