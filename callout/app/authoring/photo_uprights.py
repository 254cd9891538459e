"""Upright rules in a photograph, which divide the cells of a table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from callout.core.paper.page import Box

if TYPE_CHECKING:
    from callout.app.authoring.photo_shape import Picture

_SHORTEST: Final = 1.6
"""Length of a rule, in letter heights: no letter is so tall."""
_PIECE: Final = 3.0
"""Length of the pieces that a rule is taken in: it may lean a little."""
_WIDEST: Final = 0.3
_EDGE: Final = 1.0
"""How near the edge of a picture what is seen is the edge of the sheet, in letter heights."""
_BESIDE: Final = 6
"""Pixels beside a rule that show what it stands on."""
_CLEARER: Final = 0.6
"""Share of its darkness that a rule has towards its darker side; the edge of a field has less."""
_SEEN: Final = 12
"""Grey levels by which a rule is darker than the paper on both sides."""
_MOST: Final = 400
"""Pieces of a page; more are a screened picture."""


def upright_strokes(picture: Picture, letter: float) -> tuple[Box, ...]:
    """Return the upright rules of ``picture``, in pieces; ``letter`` is the letter height."""
    import cv2

    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    block = max(15, int(letter * 1.2) | 1)
    ink = cv2.adaptiveThreshold(
        grey, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, block, 6
    )
    ink = cv2.morphologyEx(ink, cv2.MORPH_CLOSE, np.ones((3, 1), np.uint8))
    long = np.ones((max(12, int(letter * _SHORTEST)), 1), np.uint8)
    upright = cv2.dilate(cv2.morphologyEx(ink, cv2.MORPH_OPEN, long), np.ones((5, 3), np.uint8))
    count, labels, told, _ = cv2.connectedComponentsWithStats(upright)
    found: list[Box] = []
    for at in range(1, count):
        left, top, width, height = (int(n) for n in told[at][:4])
        near = left < _EDGE * letter or left + width > grey.shape[1] - _EDGE * letter
        if near or height < _SHORTEST * letter or width > height:
            continue
        own = labels[top : top + height, left : left + width] == at
        found += [b for b in _pieces(own, left, top, letter) if _is_rule(grey, b, letter)]
    return tuple(found) if len(found) <= _MOST else ()


def _pieces(own: Any, left: int, top: int, letter: float) -> Iterator[Box]:
    """Yield a rule in pieces short enough to be straight."""
    high = own.shape[0]
    count = max(1, round(high / (_PIECE * letter)))
    for at in range(count):
        start, end = high * at // count, high * (at + 1) // count
        columns = np.flatnonzero(own[start:end].any(axis=0))
        if columns.size:
            x0, x1 = left + int(columns[0]), left + int(columns[-1]) + 1
            yield Box(float(x0 + 1), float(top + start - 2), float(x1 - 1), float(top + end + 2))


def _is_rule(grey: Any, box: Box, letter: float) -> bool:
    """Say whether a piece is thin, and darker than what is on both sides of it."""
    left, top, right, bottom = (int(n) for n in (box.left, box.top, box.right, box.bottom))
    if right - left > max(5.0, _WIDEST * letter):
        return False
    top = max(0, top)
    rows = grey[top:bottom, max(0, left - 1) : right + 1]
    before = grey[top:bottom, max(0, left - _BESIDE) : max(0, left - 2)]
    after = grey[top:bottom, right + 2 : right + _BESIDE]
    if not (rows.size and before.size and after.size):
        return False
    dark = float(np.median(rows.min(axis=1)))
    sides = sorted((float(np.median(before)), float(np.median(after))))
    return sides[0] - dark > max(_SEEN, _CLEARER * (sides[1] - dark))
