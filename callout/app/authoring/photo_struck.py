"""Numbers of a photograph with a stroke through all their digits."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from callout.core.paper.page import Word

if TYPE_CHECKING:
    from numpy.typing import NDArray

_NUMBER: Final = re.compile(r"\d[\d.,:]*\d")
"""Two digits at least: the paper between them is bare unless a stroke runs through it."""
_WITHIN: Final = (0.3, 0.72)
"""Where the stroke runs, from the top of the box of a word to its foot."""
_THROUGH: Final = 0.96
"""Share of the width of the number that is inked on one level."""
_THICK: Final = 0.3
"""Most levels of the number that are inked throughout, as a share of its height."""
_DARK: Final = 0.4
"""Darkness of that ink, between that of paper (0) and that of the digits (1)."""
_SLOPE: Final = 2
"""Pixels by which such a stroke may slope."""


def with_struck(words: Sequence[Word], grey: NDArray[np.uint8]) -> Iterator[Word]:
    """Yield ``words``; ``grey`` is the picture in which their boxes are."""
    for word in words:
        struck = _NUMBER.fullmatch(word.text) is not None and _is_through(word, grey)
        yield replace(word, struck=True) if struck else word


def _is_through(word: Word, grey: NDArray[np.uint8]) -> bool:
    box = word.box
    top, bottom, left, right = (round(n) for n in (box.top, box.bottom, box.left, box.right))
    part: Any = grey[max(0, top) : bottom, max(0, left) : right].astype(float)
    if part.size == 0 or min(part.shape) < 8:
        return False
    paper, dark = np.percentile(part, 85), np.percentile(part, 2)
    inked = part < paper - _DARK * (paper - dark)
    columns = np.flatnonzero(inked.any(axis=0))
    if not columns.size:
        return False
    inked = inked[:, columns[0] : columns[-1] + 1]
    high = inked.shape[0]
    near = inked.copy()
    for step in range(1, _SLOPE + 1):  # a stroke may slope a little
        near[step:] |= inked[:-step]
        near[:-step] |= inked[step:]
    full = near.mean(axis=1) > _THROUGH
    middle = full[int(_WITHIN[0] * high) : int(_WITHIN[1] * high)]
    return bool(middle.any()) and float(full.mean()) < _THICK
