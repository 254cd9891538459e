"""Levels the lines of a photographed page, judging by their own slopes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import Final

from callout.core.paper.page import Box, Word

_STEEP: Final = 0.35
"""A steeper piece is not a line of text."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Words found together in a quadrilateral: its corners clockwise from the top left."""

    corners: tuple[tuple[float, float], ...]
    words: tuple[Word, ...]
    score: float

    @property
    def width(self) -> float:
        """Length of its upper edge."""
        return math.dist(self.corners[0], self.corners[1])

    @property
    def height(self) -> float:
        """Length of its left edge."""
        return math.dist(self.corners[0], self.corners[3])

    @property
    def slope(self) -> float:
        """How far it falls for each step to the right."""
        across = self._side(0, 1, 0) + self._side(3, 2, 0)
        return (self._side(0, 1, 1) + self._side(3, 2, 1)) / across if across > 0 else 9.0

    def _side(self, start: int, end: int, axis: int) -> float:
        return self.corners[end][axis] - self.corners[start][axis]

    @property
    def middle(self) -> tuple[float, float]:
        """Its centre."""
        xs, ys = zip(*self.corners, strict=True)
        return sum(xs) / len(xs), sum(ys) / len(ys)


def levelled_pieces(pieces: Sequence[Piece]) -> tuple[list[Piece], Callable[[Box], Box]]:
    """Return ``pieces`` with level lines, and a function that moves any other box of the page in
    the same way.

    Perspective makes lines fan out: the slope is assumed to change evenly down the page.
    """
    base, growth = _slope_field(pieces)

    def fall(x: float, y: float) -> float:
        """How much lower a line is at ``x`` than at the left edge."""
        start = (y - base * x) / (1 + growth * x) if abs(1 + growth * x) > 0.2 else y
        return (base + growth * start) * x

    def moved(box: Box) -> Box:
        down = fall((box.left + box.right) / 2, box.middle)
        return Box(box.left, box.top - down, box.right, box.bottom - down)

    made = []
    for piece in pieces:
        tall = min(
            piece.height, max(c[1] for c in piece.corners) - min(c[1] for c in piece.corners)
        )
        words = tuple(replace(w, box=moved(_squeezed(w, piece, tall))) for w in piece.words)
        made.append(replace(piece, words=words))
    return made, moved


def _squeezed(word: Word, piece: Piece, tall: float) -> Box:
    """Return the word's box with the height of its line, at the position of the line there."""
    box = word.box
    x, y = piece.middle
    slope = piece.slope if abs(piece.slope) < _STEEP else 0.0
    centre = y + slope * ((box.left + box.right) / 2 - x)
    return Box(box.left, centre - tall / 2, box.right, centre + tall / 2)


def _slope_field(pieces: Sequence[Piece]) -> tuple[float, float]:
    """Return (slope at the top, change per step down), estimated from long lines."""
    long = [p for p in pieces if p.width > 3 * p.height and abs(p.slope) < _STEEP]
    if len(long) < 4:
        return (median([p.slope for p in long]) if long else 0.0), 0.0
    weights = [p.width**2 for p in long]
    total = sum(weights)
    y0 = sum(w * p.middle[1] for w, p in zip(weights, long, strict=True)) / total
    s0 = sum(w * p.slope for w, p in zip(weights, long, strict=True)) / total
    spread = sum(w * (p.middle[1] - y0) ** 2 for w, p in zip(weights, long, strict=True))
    both = sum(w * (p.middle[1] - y0) * (p.slope - s0) for w, p in zip(weights, long, strict=True))
    growth = both / spread if spread > 0 else 0.0
    return s0 - growth * y0, growth
