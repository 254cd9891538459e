"""Lists side by side, in boxes or columns: numbers before their headings say the order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from callout.core.paper.page import Row

_HEAD: Final = re.compile(r"\(?(\d{1,2})[.):]?\s+(?=[^\W\d_])")
_FEWEST: Final = 3


def in_counted_order(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of a page, its lists in the order in which their headings count them.

    What stands before the first heading stays first, what runs across the page under them last.
    """
    heads = {at: int(found[1]) for at, row in enumerate(rows) if (found := _head(row)) is not None}
    counts = list(heads.values())
    whole = sorted(counts) == list(range(1, len(counts) + 1))
    if len(counts) < _FEWEST or not whole or counts == sorted(counts):
        return list(rows)
    starts = list(heads)
    ends = [*starts[1:], _end(rows, starts[-1])]
    blocks = {heads[start]: list(rows[start:end]) for start, end in zip(starts, ends, strict=True)}
    if any(len(block) < 2 for block in blocks.values()):
        return list(rows)
    made = list(rows[: starts[0]])
    for count in sorted(blocks):
        made += blocks[count]
    return made + list(rows[ends[-1] :])


def _head(row: Row) -> re.Match[str] | None:
    """Return the number of a heading; None if a row is none, or has none."""
    set_apart = row.bold or row.heading or row.banded
    return _HEAD.match(row.cells[0].text) if set_apart and len(row.cells) == 1 else None


def _end(rows: Sequence[Row], start: int) -> int:
    """Return where a last list ends: before what runs across the page."""
    return next((at for at in range(start + 1, len(rows)) if rows[at].banner), len(rows))
