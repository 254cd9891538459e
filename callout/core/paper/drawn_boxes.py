"""Boxes to write in, put together from their sides: each side may be drawn by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from callout.core.paper.page import Box, Page, Word

_HEIGHTS: Final = (0.6, 2.6)
"""Height of a box to write in, in letter heights."""
_WIDTHS: Final = (1.5, 14.0)
_NEAR: Final = 0.15
"""How near the ends of two sides are that meet, in letter heights."""
_THIN: Final = 0.35
_MOST: Final = 600
"""Level sides of a page; more are a drawing, and take too long to compare."""
_UPRIGHT: Final = 0.7
"""Share of the height of a box that its left and right sides have."""


def drawn_boxes(page: Page, em: float) -> Iterator[Box]:
    """Yield boxes whose four sides are strokes, also those divided into a field for each letter."""
    upright = [s for s in page.strokes if s.width < _THIN * em and s.height > _HEIGHTS[0] * em]
    level = [s for s in page.strokes if s.height < _THIN * em]
    for frame in page.frames:
        if frame.width <= _WIDTHS[0] * em:
            upright += [Box(x, frame.top, x, frame.bottom) for x in (frame.left, frame.right)]
            level += [Box(frame.left, y, frame.right, y) for y in (frame.top, frame.bottom)]
    if not upright or len(level) > _MOST:
        return
    runs = sorted(_joined(level, em), key=lambda box: box.top)
    for at, top in enumerate(runs):
        bottom = next((b for b in runs[at + 1 :] if _is_pair(top, b, em)), None)
        if bottom is not None:
            box = Box(top.left, top.middle, top.right, bottom.middle)
            if all(_has_side(box, x, upright, em) for x in (box.left, box.right)):
                yield box


def _joined(level: Sequence[Box], em: float) -> list[Box]:
    """Return level sides, those that touch at their ends as one."""
    runs: list[Box] = []
    near = _NEAR * em
    for side in sorted(level, key=lambda box: box.left):
        for at, run in enumerate(runs):
            if abs(run.middle - side.middle) < near and -near < run.right - side.left < 3 * near:
                runs[at] = run.joined(side)
                break
        else:
            runs.append(side)
    return runs


def _is_pair(top: Box, bottom: Box, em: float) -> bool:
    least, most = _HEIGHTS
    short, long = _WIDTHS
    even = max(abs(top.left - bottom.left), abs(top.right - bottom.right)) < 2 * _NEAR * em
    high = least * em < bottom.middle - top.middle < most * em
    return even and high and short * em < top.width <= long * em


def _has_side(box: Box, x: float, upright: Sequence[Box], em: float) -> bool:
    return any(
        abs((s.left + s.right) / 2 - x) < 2 * _NEAR * em and s.down(box) > _UPRIGHT * box.height
        for s in upright
    )


TICK_BOX: Final = "\u25a1"


def tick_words(page: Page, em: float) -> Iterator[Word]:
    """Yield a box to tick for each small square between two words of a line: "calm [] rough"."""
    for frame in page.frames:
        small = 0.5 * em < frame.height < 1.2 * em and 0.7 < frame.width / frame.height < 1.4
        if not small or any(_is_beside(frame, other, em) for other in page.frames):
            continue
        level = [w.box for w in page.words if w.box.top < frame.middle < w.box.bottom]
        if any(_is_inside(box, frame) for box in level):
            continue  # a number or a letter in a square or a circle
        before = any(box.right < frame.left + em / 4 for box in level)
        after = any(-em / 4 < box.left - frame.right < em for box in level)
        if before and after:
            yield Word(TICK_BOX, frame)


def _is_inside(box: Box, frame: Box) -> bool:
    middle = (box.left + box.right) / 2
    return frame.left < middle < frame.right


def _is_beside(frame: Box, other: Box, em: float) -> bool:
    """Say whether two frames touch: together they are a field for letters."""
    level = other is not frame and abs(other.middle - frame.middle) < _NEAR * em
    return level and -_NEAR * em < max(frame.left, other.left) - min(frame.right, other.right) < (
        _NEAR * em
    )
