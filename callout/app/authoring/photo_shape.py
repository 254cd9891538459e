"""Makes a photograph of a page flat and upright before its letters are read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Picture = NDArray[np.uint8]

LONGEST_SIDE: Final = 2200
"""Pixels; an A4 page then has letters of 20 pixels or more."""
_DARK: Final = 100
"""Median brightness below which a page is dark; paper in a deep shadow is brighter."""
_SMALL: Final = 700
_LEAST_SHARE: Final = 0.25
"""Minimum share of the picture that a sheet of paper fills."""
_MOST_SHARE: Final = 0.97
_EDGE: Final = 0.006
"""How far from a side light is measured, as a share of the picture: a sheet ends within it."""
_SOFT: Final = 0.35
"""Share of the step in brightness that must be reached there."""
_SAMPLES: Final = 41
_AS_BRIGHT: Final = 0.85
"""What surrounds a sheet differs from it by more; on seventy photographs by half or more."""


def sized_picture(picture: Picture) -> Picture:
    """Return the picture, no larger than the reader accepts and no smaller than letters need."""
    import cv2

    longest = max(picture.shape[:2])
    if longest > LONGEST_SIDE:
        scale = LONGEST_SIDE / longest
        return np.asarray(
            cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8
        )
    if longest < LONGEST_SIDE * 0.6:
        scale = min(LONGEST_SIDE * 0.75 / longest, 2.5)
        return np.asarray(
            cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_CUBIC), np.uint8
        )
    return picture


def flat_picture(picture: Picture) -> Picture:
    """Return the sheet in ``picture`` seen from the front; the picture itself if no sheet is
    found.
    """
    corners = _sheet_corners(picture)
    if corners is None or _is_all_paper(picture, corners):
        return picture
    return _seen_from_front(picture, corners)


def _is_all_paper(picture: Picture, corners: NDArray[np.float32]) -> bool:
    """Say whether what is around a sheet is as bright as it: a shadow on a scan, no sheet."""
    import cv2

    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    inside = np.zeros_like(grey)
    cv2.fillPoly(inside, [_in_turn(corners).astype(np.int32)], 255)
    around = grey[inside == 0]
    if not around.size:
        return False
    paper, rest = float(np.median(grey[inside > 0])), float(np.median(around))
    if _AS_BRIGHT * paper < rest < paper / _AS_BRIGHT:
        return True
    return _has_soft_side(grey, _in_turn(corners), abs(paper - rest))


def _has_soft_side(grey: Any, corners: NDArray[np.float32], step: float) -> bool:
    """Say whether the light fades along a side, as at the edge of a shadow: paper ends at once."""
    import cv2

    height, width = grey.shape[:2]
    near = max(3.0, _EDGE * max(height, width))
    smooth = cv2.GaussianBlur(grey, (0, 0), near / 4).astype(np.float32)
    for one, two in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        along = (two - one) / max(float(np.linalg.norm(two - one)), 1.0)
        across = near * np.array([-along[1], along[0]], np.float32)
        points = [one + (two - one) * share for share in np.linspace(0.1, 0.9, _SAMPLES)]
        pairs = [
            (smooth[y0, x0], smooth[y1, x1])
            for point in points
            for (x0, y0), (x1, y1) in [((point - across).astype(int), (point + across).astype(int))]
            if 0 <= min(x0, x1) <= max(x0, x1) < width and 0 <= min(y0, y1) <= max(y0, y1) < height
        ]
        steps = [abs(float(before) - float(after)) for before, after in pairs]
        if len(steps) > _SAMPLES / 2 and float(np.median(steps)) < _SOFT * step:
            return True
    return False


def _sheet_corners(picture: Picture) -> NDArray[np.float32] | None:
    import cv2

    scale = _SMALL / max(picture.shape[:2])
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    grey = cv2.GaussianBlur(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY), (9, 9), 0)
    whole = float(grey.shape[0] * grey.shape[1])
    best: Any = None
    for mask in _bright_masks(grey):
        outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
        for outline in sorted(outlines, key=cv2.contourArea, reverse=True)[:3]:
            area = cv2.contourArea(outline) / whole
            if not _LEAST_SHARE < area < _MOST_SHARE:
                continue
            hull = cv2.convexHull(outline)
            four = cv2.approxPolyDP(hull, 0.03 * cv2.arcLength(hull, True), True)
            filled = cv2.contourArea(four) / max(cv2.contourArea(outline), 1.0)
            if len(four) == 4 and 0.93 < filled < 1.07 and (best is None or area > best[0]):
                best = (area, four.reshape(4, 2).astype(np.float32) / scale)
    return None if best is None else best[1]


def _bright_masks(grey: Any) -> Any:
    """Yield where paper may be: areas brighter than their surroundings."""
    import cv2

    _, mask = cv2.threshold(grey, 0, 255, cv2.THRESH_BINARY | cv2.THRESH_OTSU)
    kernel = np.ones((15, 15), np.uint8)
    yield cv2.morphologyEx(mask, cv2.MORPH_CLOSE, kernel)
    edges = cv2.dilate(cv2.Canny(grey, 20, 70), np.ones((5, 5), np.uint8))
    outlines, _ = cv2.findContours(edges, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    filled = np.zeros_like(grey)
    cv2.drawContours(filled, outlines, -1, 255, thickness=cv2.FILLED)
    yield cv2.morphologyEx(filled, cv2.MORPH_OPEN, kernel)


def _in_turn(corners: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return corners clockwise from the top left."""
    total, across = corners.sum(axis=1), corners[:, 0] - corners[:, 1]
    order = (total.argmin(), across.argmax(), total.argmax(), across.argmin())
    return corners[list(order)]


def _seen_from_front(picture: Picture, corners: NDArray[np.float32]) -> Picture:
    import cv2

    tl, tr, br, bl = _in_turn(corners)
    width = max(np.linalg.norm(tr - tl), np.linalg.norm(br - bl))
    height = max(np.linalg.norm(bl - tl), np.linalg.norm(br - tr))
    if min(width, height) < 50:
        return picture
    goal = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32)
    matrix = cv2.getPerspectiveTransform(np.array([tl, tr, br, bl], np.float32), goal)
    flat = cv2.warpPerspective(picture, matrix, (int(width), int(height)), flags=cv2.INTER_CUBIC)
    return np.asarray(flat, np.uint8)


def dark_on_light(picture: Picture) -> Picture:
    """Return ``picture``, or its negative if it shows light letters on a dark page."""
    middle = float(np.median(picture))
    return np.asarray(255 - picture, np.uint8) if middle < _DARK else picture


def even_light(picture: Picture) -> Picture:
    """Return ``picture`` without shadows: each point is compared with the paper around it."""
    import cv2

    made = []
    for channel in cv2.split(picture):
        size = max(31, (max(channel.shape) // 40) | 1)
        paper = cv2.medianBlur(cv2.dilate(channel, np.ones((7, 7), np.uint8)), min(size, 101))
        made.append(255 - cv2.absdiff(channel, paper))
    return np.asarray(cv2.merge(made), np.uint8)


def turned_picture(picture: Picture, quarters: int) -> Picture:
    """Return ``picture`` turned anticlockwise by quarter turns."""
    return np.ascontiguousarray(np.rot90(picture, quarters))
