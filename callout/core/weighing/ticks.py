"""What stands on the line of an item and is no part of it: ticks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from callout.core.paper.page import Row

_SIGNS: Final = r"\u2713\u2714\u221a\u2610-\u2612\u25a1\u25a2\u25cb\u25ef\u2751\u2b1c"
_TICKS: Final = re.compile(rf"[\s{_SIGNS}|\u00a6+]+")
_LAST: Final = re.compile(rf"(?<=\S)\s*[{_SIGNS}]$")


def without_ticks(rows: Sequence[Row]) -> list[Row]:
    """Return rows without ticks at their ends, unless a column of ticks says who answers."""
    made: list[Row] = []
    keep = False
    for row in rows:
        keep = "role" in row.names if row.names else keep
        made.append(row if keep or row.names else _unticked(row))
    return made


def _unticked(row: Row) -> Row:
    cells = list(row.cells)
    while len(cells) > 1 and _TICKS.fullmatch(cells[-1].text):
        cells.pop()
    if len(cells) > 1 and _TICKS.fullmatch(cells[0].text):
        cells.pop(0)
        row = replace(row, bullet=True)
    last = _LAST.sub("", cells[-1].text)
    cells[-1] = replace(cells[-1], text=last)
    return row if tuple(cells) == row.cells else replace(row, cells=tuple(cells))
