"""Dotted leaders in a photograph: found by their even row of dots, and hidden from the reader.

A reader of letters takes a line with fifty dots for one word, and loses what stands at its ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from callout.app.authoring.photo_shape import even_light
from callout.core.paper.levelling import Piece
from callout.core.paper.page import Box, Word

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from callout.app.authoring.photo_shape import Picture

FEWEST: Final = 6
"""Dots of a row; three are an ellipsis in a text."""
_LARGEST: Final = 0.5
"""Size of a dot, in letter heights."""
_APART: Final = 1.3
"""Distance to the next dot, in letter heights."""
_SKIPPED: Final = 3.3
"""Distance, in usual ones, over which faint dots may be missing."""
_STEP: Final = 1.4
"""Distance, in usual ones, within which no letter stands between two dots."""
_UNEVEN: Final = 0.45
"""Most that a distance may differ from the usual one of its row, as a share of it."""
_MOST_SHAPES: Final = 12_000
"""Dots and letters of a page; more are grain or a screened picture, and cost time without end."""
_LETTERS: Final = (7, 90)
"""Heights of letters in pixels."""
LEADER_TEXT: Final = "......"


@dataclass(frozen=True, slots=True)
class DotRow:
    """A leader: the middles of its dots from left to right, and the letters beside it."""

    dots: tuple[tuple[float, float], ...]
    letter: float
    """Letter height in pixels."""
    middle: float
    """How far the middle of the letters beside it lies above the dots."""

    def as_piece(self) -> Piece:
        """Return it as a word of its line."""
        (x0, y0), (x1, y1) = self.dots[0], self.dots[-1]
        half = 0.7 * self.letter  # as tall as the reader's boxes
        y0, y1 = y0 - self.middle, y1 - self.middle
        corners = ((x0, y0 - half), (x1, y1 - half), (x1, y1 + half), (x0, y0 + half))
        box = Box(x0, min(y0, y1) - half, x1, max(y0, y1) + half)
        return Piece(corners, (Word(LEADER_TEXT, box),), 1.0)


def dot_rows(picture: Picture) -> tuple[list[DotRow], NDArray[np.uint8]]:
    """Return the dotted leaders of ``picture``, and a mask of their dots."""
    import cv2

    grey = cv2.cvtColor(even_light(picture), cv2.COLOR_RGB2GRAY)
    grey = cv2.GaussianBlur(grey, (0, 0), 0.6)
    ink = cv2.adaptiveThreshold(
        grey, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, 31, 12
    )
    count, _, told, middles = cv2.connectedComponentsWithStats(ink)
    shapes = np.asarray(told[:count])
    letter = _letter_height(shapes)
    if not letter or len(shapes) > _MOST_SHAPES:
        return [], np.zeros_like(ink)
    most = max(3.0, _LARGEST * letter)
    small = np.maximum(shapes[:, 2], shapes[:, 3]) <= most
    small[0] = False
    at = np.flatnonzero(small & (shapes[:, 4] >= 2))
    large = np.flatnonzero((shapes[:, 3] > 0.55 * letter) & (shapes[:, 3] < 2 * letter))
    beside = np.asarray(middles)[large]
    rows = []
    for chain in _chains(np.asarray(middles)[at], letter):
        found = np.asarray(middles)[at[chain]]
        dots = tuple(
            (float(x), float(y)) for x, y in found[: _until_letters(found, beside, letter)]
        )
        if len(dots) < FEWEST:
            continue
        rows.append(DotRow(dots, letter, _above(dots, beside, letter)))
    mask = np.zeros_like(ink)
    for row in rows:  # from dot to dot: some between them may be too faint to be seen
        line = np.round(np.asarray(row.dots)).astype(np.int32)
        cv2.polylines(mask, [line], isClosed=False, color=255, thickness=max(3, int(letter * 0.45)))
    return rows, np.asarray(mask, np.uint8)


def _until_letters(dots: NDArray[Any], letters: NDArray[Any], letter: float) -> int:
    """Return how many dots of a row come before letters: the point of "2.1" leads to nothing."""
    usual = float(np.median(np.diff(dots[:, 0])))
    for at, (one, two) in enumerate(pairwise(dots), start=1):
        if two[0] - one[0] < _STEP * usual:
            continue
        across = (letters[:, 0] > one[0]) & (letters[:, 0] < two[0])
        if (across & (np.abs(letters[:, 1] - one[1]) < 0.8 * letter)).any():
            return at
    return len(dots)


def without_dots(picture: Picture, mask: NDArray[np.uint8]) -> Picture:
    """Return ``picture`` with paper where ``mask`` is set."""
    import cv2

    if not mask.any():
        return picture
    wide = cv2.dilate(mask, np.ones((3, 3), np.uint8))
    paper = cv2.medianBlur(cv2.dilate(picture, np.ones((7, 7), np.uint8)), 21)
    made = picture.copy()
    made[wide > 0] = paper[wide > 0]
    return np.asarray(made, np.uint8)


def _letter_height(shapes: NDArray[Any]) -> float:
    """Return the usual height of letters; 0 if there are hardly any."""
    wide, high = shapes[1:, 2], shapes[1:, 3]
    least, most = _LETTERS
    fit = (high >= least) & (high <= most) & (wide < 3 * high) & (wide * 6 > high)
    if fit.sum() < 10:
        return 0.0
    heights = np.sort(high[fit]).astype(float)  # weighed by area: dots are many and small
    share = np.cumsum(heights**2) / np.sum(heights**2)
    return float(heights[np.searchsorted(share, 0.5)])


def _chains(points: NDArray[Any], letter: float) -> Iterator[list[int]]:
    """Yield the indices of dots that follow one another evenly on a line, from left to right."""
    if not len(points):
        return
    order = np.lexsort((points[:, 1], points[:, 0]))
    free = set(range(len(points)))
    xs = points[order, 0]
    for start in order:
        if start not in free:
            continue
        chain = [int(start)]
        while (following := _next_dot(points, order, xs, chain, free, letter)) is not None:
            chain.append(following)
        if len(chain) >= FEWEST and _is_even(points[chain]):
            free.difference_update(chain)
            yield chain


def _next_dot(
    points: NDArray[Any], order: Any, xs: Any, chain: list[int], free: set[int], letter: float
) -> int | None:
    x, y = points[chain[-1]]
    first = int(np.searchsorted(xs, x, "right"))
    slope, reach = 0.0, _APART * letter
    if len(chain) > 3:
        x0, y0 = points[chain[max(0, len(chain) - 12)]]
        slope = (y - y0) / (x - x0)
        reach = max(reach, _SKIPPED * (x - points[chain[-4]][0]) / 3)
    best: int | None = None
    for at in order[first:]:
        across = points[at][0] - x
        if across > reach:
            break
        off = abs(points[at][1] - y - slope * across)
        if at in free and off < 0.16 * letter and across > 1.5:
            best = int(at)
            break
    return best


def _is_even(points: NDArray[Any]) -> bool:
    steps = np.diff(points[:, 0])
    usual = float(np.median(steps))
    return bool(np.mean(np.abs(steps - usual) < _UNEVEN * usual) > 0.8)


def _above(dots: tuple[tuple[float, float], ...], letters: NDArray[Any], letter: float) -> float:
    """Return how far above the dots the middle of the nearest letter is."""
    best, found = 4 * letter, 0.35 * letter
    for x, y in (dots[0], dots[-1]):
        for lx, ly in letters:
            away = abs(lx - x)
            if away < best and abs(ly - y) < 0.8 * letter:
                best, found = away, y - ly
    return float(found)
