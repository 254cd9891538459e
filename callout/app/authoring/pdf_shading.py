"""Shaded fields of a PDF: an empty one beside words of the same shade is nothing to write in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from callout.core.paper.blanks import holds_words
from callout.core.paper.page import Box, Word

_SIDES: Final = 5
"""Most points of the outline of a plain rectangle; a border drawn as a field has more."""
_NEAR: Final = 1.0
"""Points between fields that touch."""


def is_shaded(thing: Any) -> bool:
    """Say whether a path of pypdfium2 is a plain rectangle filled without an outline."""
    import ctypes

    import pypdfium2.raw as pdfium

    mode, stroke = ctypes.c_int(), ctypes.c_int()
    if not pdfium.FPDFPath_GetDrawMode(thing.raw, mode, stroke):
        return False
    return (
        bool(mode.value) and not stroke.value and pdfium.FPDFPath_CountSegments(thing.raw) <= _SIDES
    )


def without_shading(
    frames: Sequence[Box], shaded: Sequence[Box], words: Sequence[Word]
) -> list[Box]:
    """Return ``frames`` without the empty ones of a shaded row in which words stand."""
    rows: list[list[Box]] = []
    for box in sorted(shaded, key=lambda one: one.left):
        row = next((row for row in rows if _follows(row[-1], box)), None)
        if row is None:
            rows.append([box])
        else:
            row.append(box)
    titled = [box for row in rows if any(holds_words(b, words) for b in row) for box in row]
    return [box for box in frames if box not in titled or holds_words(box, words)]


def _follows(one: Box, two: Box) -> bool:
    level = abs(one.top - two.top) < _NEAR and abs(one.bottom - two.bottom) < _NEAR
    return level and abs(two.left - one.right) < _NEAR
