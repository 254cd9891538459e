"""Level strokes in a photograph, which may be blanks to write on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

if TYPE_CHECKING:
    from callout.app.authoring.photo_shape import Picture

Stroke = tuple[float, float, float, float]
"""Left, top, right, bottom."""
_MOST_UNEVEN: Final = 0.5
"""Share of its darkness that a stroke may lose between two points; dots lose more."""
_LEAST_DARK: Final = 0.4
"""Share of the darkness of letters; dots blurred into a line are fainter."""
_AS_LETTERS: Final = 0.4
"""Least darkness of a stroke in the ink of letters, between paper (0) and the darkest ink (1)."""
_SHORTEST: Final = 1.15
"""Length of a stroke, in letter heights; underscores of narrow letters are short."""
_THIN: Final = 0.2
"""Thickness of such a stroke, in letter heights; letters that touch are thicker."""
_FAINT_UNEVEN: Final = 0.8
_FAINT_DARK: Final = 0.12
"""The same for a stroke that may be a blank, and is asked about."""
_GAP: Final = 0.65
"""Share of its darkness that is lost where a stroke is interrupted."""

_BOTH_SIDES: Final = 0.6
"""Share of its darkness that a stroke has towards its lighter side, and has on the other too."""

_BESIDE: Final = 8
"""Pixels above and below a stroke that show what it lies on."""
_DARK_SIDE: Final = 0.55
"""Brightness of a dark field, as a share of that of the paper beside it."""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Those that are drawn through, and those that can hardly be seen."""

    drawn: tuple[Stroke, ...]
    faint: tuple[Stroke, ...]


def level_strokes(picture: Picture, letter: float) -> Strokes:
    """Return the thin horizontal strokes about as long as a blank.

    ``letter`` is the letter height in pixels. Rows of dots do not count as drawn.
    """
    import cv2

    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    block = max(15, int(letter * 1.5) | 1)
    ink = cv2.adaptiveThreshold(
        grey, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, block, 8
    )
    paper, dark = float(np.percentile(grey, 90)), float(np.percentile(grey, 0.5))
    as_dark = np.where(grey < paper - _AS_LETTERS * (paper - dark), ink, 0).astype(np.uint8)
    drawn: list[Stroke] = []
    faint: list[Stroke] = []
    sloped = cv2.dilate(ink, np.ones((2, 1), np.uint8))  # a thin stroke may slope a little
    # a blank on the rule of a table is darker than the rule
    for mask, share in ((as_dark, 1.1), (ink, 1.1), (sloped, 0.9)):
        thin = _THIN * letter if mask is as_dark else letter
        for box in _level_parts(mask, grey, paper, letter, share):
            if box[3] - box[1] > max(5.0, thin) or any(
                _is_same(box, one) for one in (*drawn, *faint)
            ):
                continue
            left, top, right, bottom = (int(n) for n in box)
            band = grey[top - 1 : bottom + 1, left + 2 : right - 2]
            if _is_stroke(band, paper, dark, _LEAST_DARK, _MOST_UNEVEN):
                drawn.append(box)
            elif (
                mask is not as_dark
                and _is_stroke(band, paper, dark, _FAINT_DARK, _FAINT_UNEVEN)
                and _has_paper_beside(grey, band, top - 1, bottom + 1, left, right)
            ):
                faint.append(box)
    whole = [box for box in drawn if not any(_is_part(box, other, letter) for other in drawn)]
    return Strokes(tuple(whole), tuple(faint))


def _level_parts(
    ink: Any, grey: Any, paper: float, letter: float, share: float
) -> Iterator[Stroke]:
    """Yield the unbroken level parts of ``ink`` that are thin enough for a stroke."""
    import cv2

    shortest = max(8, int(letter * share))
    ink = cv2.morphologyEx(ink, cv2.MORPH_CLOSE, np.ones((1, 3), np.uint8))
    level = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((1, shortest), np.uint8))
    level = cv2.dilate(level, np.ones((3, max(3, int(letter * 0.35))), np.uint8))
    count, _, told, _ = cv2.connectedComponentsWithStats(level)
    for left, top, width, height, _area in told[1:count]:
        if height - 2 > max(4.0, letter * 0.45):
            continue
        for start, end in _unbroken(grey[top : top + height, left : left + width], paper):
            if end - start >= letter * _SHORTEST:
                yield (
                    float(left + start),
                    float(top + 1),
                    float(left + end),
                    float(top + height - 1),
                )


def _is_part(one: Stroke, other: Stroke, letter: float) -> bool:
    """Say whether one stroke is a piece of a longer one, of which letters hide the rest."""
    level = abs(one[1] + one[3] - other[1] - other[3]) < letter / 3
    longer = other[2] - other[0] > 1.3 * (one[2] - one[0])
    return longer and level and other[0] - 2 < one[0] and one[2] < other[2] + 2


def _is_same(one: Stroke, other: Stroke) -> bool:
    """Say whether one stroke is the other, seen again."""
    level = abs(one[1] + one[3] - other[1] - other[3]) < 2 * max(4.0, one[3] - one[1])
    both = min(one[2], other[2]) - max(one[0], other[0])
    return level and both > 0.7 * max(one[2] - one[0], other[2] - other[0])


def _unbroken(band: Any, paper: float) -> Iterator[tuple[int, int]]:
    """Yield the parts of a stroke between which there is bare paper."""
    along = band.min(axis=0).astype(float)
    inked = paper - along > (1 - _GAP) * max(paper - float(np.percentile(along, 25)), 1.0)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], inked.astype(int), [0]))))
    parts: list[tuple[int, int]] = []
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        if parts and start - parts[-1][1] < 4:
            parts[-1] = (parts[-1][0], int(end))
        else:
            parts.append((int(start), int(end)))
    yield from parts


def _has_paper_beside(grey: Any, band: Any, top: int, bottom: int, left: int, right: int) -> bool:
    """Say whether a stroke is darker than what is above and below it: no edge of a shaded row."""
    dark = float(np.median(band.min(axis=0)))
    above, below = grey[max(0, top - 4) : top, left:right], grey[bottom : bottom + 4, left:right]
    if not above.size or not below.size:
        return False
    lights = sorted((float(np.median(above)), float(np.median(below))))
    return lights[0] - dark > _BOTH_SIDES * max(lights[1] - dark, 1.0)


def _is_stroke(band: Any, paper: float, ink: float, darkness: float, uneven: float) -> bool:
    """Say whether a band is a solid line rather than a row of dots."""
    if not band.size:
        return False
    along = band.min(axis=0).astype(float)
    dark, light = np.percentile(along, 10), np.percentile(along, 80)
    if paper - dark < darkness * max(paper - ink, 1.0):
        return False
    return bool((light - dark) / max(paper - dark, 1.0) < uneven)


def without_edges(strokes: Iterable[Stroke], picture: Picture) -> tuple[Stroke, ...]:
    """Return ``strokes`` without the edges of dark fields, such as a heading on black.

    ``picture`` is not evenly lit yet: there a dark field is dark throughout.
    """
    import cv2

    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    return tuple(stroke for stroke in strokes if not _is_edge(stroke, grey))


def _is_edge(stroke: Stroke, grey: Any) -> bool:
    left, top, right, bottom = (round(n) for n in stroke)
    above = grey[max(0, top - _BESIDE) : max(0, top - _BESIDE // 2), left:right]
    below = grey[bottom + _BESIDE // 2 : bottom + _BESIDE, left:right]
    if not above.size or not below.size:
        return False
    sides = sorted((float(np.median(above)), float(np.median(below))))
    return sides[0] < _DARK_SIDE * sides[1]
