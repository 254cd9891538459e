"""Fields shaded across a page: a line in one is a heading, or part of a table striped in shades."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.paper.page import Box, Page, Word

_WIDE: Final = 0.75
"""Share of the width of the words that such a field has."""
_HEIGHTS: Final = (1.1, 4.0)
"""Its height, in letter heights."""
_FEW: Final = 0.34
"""Most lines of a page that stand in one; more are stripes."""


def with_bands(words: Sequence[Word], page: Page, em: float) -> Iterator[Word]:
    """Yield ``words``; those in a field across the page are marked, if few lines stand in one."""
    fields = [box for box in _across(words, page, em) if any(_holds(box, w) for w in words)]
    lines = len({round(word.box.middle / em) for word in words})
    few = {round(box.middle / em) for box in fields}
    marked = fields if len(few) <= _FEW * lines else []
    for word in words:
        yield replace(word, banded=True) if any(_holds(box, word) for box in marked) else word


def _across(words: Iterable[Word], page: Page, em: float) -> list[Box]:
    whole = Box.around(word.box for word in words)
    least, most = _HEIGHTS
    return [
        box
        for box in (*page.bands, *page.frames)
        if box.across(whole) > _WIDE * whole.width and least * em < box.height < most * em
    ]


def _holds(box: Box, word: Word) -> bool:
    middle = (word.box.left + word.box.right) / 2
    return box.left < middle < box.right and box.top < word.box.middle < box.bottom
