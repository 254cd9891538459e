"""Boxes to write in on a photograph: two level strokes whose ends upright ink joins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from callout.core.paper.blanks import holds_words
from callout.core.paper.page import Box, Word

if TYPE_CHECKING:
    from callout.app.authoring.photo_shape import Picture

_HEIGHTS: Final = (0.5, 2.4)
"""Height of a box, in letter heights."""
_EVEN: Final = 0.4
"""How far apart the ends of both strokes may be."""
_WIDEST: Final = 14.0
_SAME: Final = 0.9
"""Share of their width that boxes have in common which are drawn one under the other."""
_INKED: Final = 0.7
"""Share of an upright side that has ink."""
_DARK: Final = 0.3
"""Darkness of that ink, between that of paper (0) and that of letters (1)."""


def boxed(
    picture: Picture, strokes: Sequence[Box], words: Sequence[Word], letter: float
) -> tuple[list[Box], list[Box]]:
    """Return the empty boxes that ``strokes`` are sides of, and the strokes that are of none."""
    import cv2

    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    paper, dark = float(np.percentile(grey, 80)), float(np.percentile(grey, 1))
    inked = np.asarray(grey < paper - _DARK * (paper - dark))
    boxes: list[Box] = []
    sides: set[Box] = set()
    for top, bottom in _pairs(strokes, letter):
        box = Box(top.left, top.middle, top.right, bottom.middle)
        upright = all(_has_side(inked, x, box, letter) for x in (box.left, box.right))
        if upright and not holds_words(box, words):
            boxes.append(box)
            sides |= {top, bottom}
    return list(_without_gaps(boxes)), [stroke for stroke in strokes if stroke not in sides]


def _without_gaps(boxes: Sequence[Box]) -> Iterator[Box]:
    """Yield ``boxes`` without those that are another one and the gap between it and a third."""
    for box in boxes:
        inner = (b for b in boxes if b.height < box.height and b.across(box) > _SAME * box.width)
        ends = (abs(b.top - box.top) < 2 or abs(b.bottom - box.bottom) < 2 for b in inner)
        if not any(ends):
            yield box


def _pairs(strokes: Sequence[Box], letter: float) -> Iterator[tuple[Box, Box]]:
    """Yield two strokes of one length, one under the other."""
    least, most = _HEIGHTS
    order = sorted((s for s in strokes if s.width < _WIDEST * letter), key=lambda box: box.middle)
    for at, top in enumerate(order):
        for bottom in order[at + 1 :]:
            high = bottom.middle - top.middle
            if high > most * letter:
                break
            apart = max(abs(top.left - bottom.left), abs(top.right - bottom.right))
            if high > least * letter and apart < _EVEN * letter:
                yield top, bottom
                break


def _has_side(inked: Any, x: float, box: Box, letter: float) -> bool:
    """Say whether ink runs from the top of a box to its bottom, near ``x``."""
    near = max(3, int(0.2 * letter))
    part = inked[
        round(box.top) + 2 : round(box.bottom) - 1, max(0, round(x) - near) : round(x) + near
    ]
    if not part.size:
        return False
    return bool(part.mean(axis=0).max() > _INKED)
