"""Ink of a photograph that no word explains: what the reader of letters may have dropped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from callout.app.authoring.photo_shape import Picture
    from callout.core.paper.levelling import Piece

_DARK: Final = 0.5
"""Least darkness of ink between that of paper (0) and that of the letters that were read (1)."""
_AROUND: Final = 0.35
"""How far a letter may reach beyond the box of its word, in letter heights."""
_LONG: Final = 1.8
"""Length from which a straight stroke is a rule rather than part of a letter."""
_TALL: Final = (0.5, 1.7)
"""Height of what may be a word, in letter heights."""
_WIDE: Final = 0.8
_FILLED: Final = (0.12, 0.72)
"""Share of its box that the ink of letters fills: less is a frame, more a shaded field."""
_INSIDE: Final = 0.06
"""Least share of ink inside the outline of a word; a frame or a box to tick has none there."""


def unread_ink(
    picture: Picture, pieces: Sequence[Piece], letter: float
) -> tuple[tuple[float, float, float, float], ...]:
    """Return boxes around ink that is as high as letters, among the words, and in no word.

    ``picture`` is evenly lit; ``letter`` is the letter height in pixels. Rules, frames, boxes to
    tick and shaded fields do not count, nor does what is larger than letters or outside the text.
    """
    import cv2

    if not pieces or letter < 6:
        return ()
    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    read = _mask_of(pieces, grey.shape, 0.0)
    dark = float(np.percentile(grey[read > 0], 5)) if read.any() else 0.0
    paper = float(np.percentile(grey, 80))
    ink = np.asarray(grey < paper - _DARK * (paper - dark), np.uint8) * 255
    ink = _without_rules(ink, letter)
    ink[_mask_of(pieces, grey.shape, _AROUND * letter) > 0] = 0
    near = np.ones((max(1, int(0.15 * letter)), max(3, int(0.6 * letter))), np.uint8)
    joined = cv2.morphologyEx(ink, cv2.MORPH_CLOSE, near)
    count, labels, told, _ = cv2.connectedComponentsWithStats(joined)
    block = _block_of(pieces, letter)
    found = []
    for at in range(1, count):
        left, top, width, height = (int(n) for n in told[at][:4])
        if not _is_word_high(width, height, letter) or not _is_in(block, left, top, width, height):
            continue
        own = ink[top : top + height, left : left + width] * (
            labels[top : top + height, left : left + width] == at
        )
        if _is_written(own):
            found.append((float(left), float(top), float(left + width), float(top + height)))
    return tuple(found)


def _mask_of(pieces: Iterable[Piece], shape: Sequence[int], around: float) -> NDArray[Any]:
    """Return a mask of the quadrilaterals of ``pieces``, wider by ``around``."""
    import cv2

    mask = np.zeros(shape[:2], np.uint8)
    for piece in pieces:
        cv2.fillPoly(mask, [np.round(np.asarray(piece.corners)).astype(np.int32)], 255)
    size = int(around)
    return cv2.dilate(mask, np.ones((2 * size + 1, 2 * size + 1), np.uint8)) if size else mask


def _without_rules(ink: NDArray[Any], letter: float) -> NDArray[Any]:
    """Return ``ink`` without long straight strokes, level or upright."""
    import cv2

    long = max(8, int(_LONG * letter))
    level = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((1, long), np.uint8))
    upright = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((long, 1), np.uint8))
    rules = cv2.dilate(cv2.bitwise_or(level, upright), np.ones((5, 5), np.uint8))
    made: NDArray[Any] = cv2.bitwise_and(ink, cv2.bitwise_not(rules))
    return made


def _block_of(pieces: Sequence[Piece], letter: float) -> tuple[float, float, float, float]:
    xs = [x for piece in pieces for x, _ in piece.corners]
    ys = [y for piece in pieces for _, y in piece.corners]
    return min(xs) - letter, min(ys) - letter, max(xs) + letter, max(ys) + letter


def _is_word_high(width: int, height: int, letter: float) -> bool:
    least, most = _TALL
    return least * letter < height < most * letter and width > _WIDE * letter


def _is_in(block: tuple[float, float, float, float], x: int, y: int, w: int, h: int) -> bool:
    left, top, right, bottom = block
    return left <= x and top <= y and x + w <= right and y + h <= bottom


def _is_written(ink: NDArray[Any]) -> bool:
    """Say whether ink looks like letters: strokes throughout its box, and paper between them."""
    least, most = _FILLED
    high, wide = ink.shape
    inner = ink[high // 4 : high - high // 4, wide // 5 : wide - wide // 5]
    share = float(np.mean(ink > 0))
    return least < share < most and bool(inner.size) and float(np.mean(inner > 0)) > _INSIDE
