"""Numbers that somebody struck out by hand or in print: what stands beside them counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from callout.core.paper.page import Box, Word

_THIN: Final = 0.2
"""Height of a stroke through letters, in letter heights."""
_WITHIN: Final = (0.3, 0.75)
"""Where it runs, from the top of the letters to their foot."""
_BEYOND: Final = 0.6
"""How far it may run beyond the number, in letter heights."""
_COVERED: Final = 0.8
_BESIDE: Final = 1.5
_UNSURE: Final = 0.79
"""How sure a word is that a person has to look at."""
_MOST: Final = 2_000_000
"""Pairs of words and strokes; more are a drawing, and take too long to compare."""


def without_struck(words: Sequence[Word], strokes: Sequence[Box], em: float) -> list[Word]:
    """Return words without the numbers that are struck out, if another number stands beside them.

    The other one is to be looked at; so is a number that is struck out and has none beside it. In
    a picture a stroke through letters is more often part of them, so its words stay as they are.
    """
    thin = [s for s in strokes if s.height < _THIN * em and s.width > em / 4]
    if len(thin) * len(words) > _MOST:
        return list(words)
    struck = {
        id(w)
        for w in words
        if w.struck or (_is_printed(w) and any(_is_through(s, w, em) for s in thin))
    }
    kept: list[Word] = []
    for word in words if struck else ():
        beside = [w for w in words if w is not word and _is_beside(word, w, em)]
        if id(word) in struck:
            if any(id(other) not in struck and _has_digit(other) for other in beside):
                continue
            kept.append(replace(word, sure=min(word.sure, _UNSURE)))
        elif _has_digit(word) and any(id(other) in struck for other in beside):
            kept.append(replace(word, sure=min(word.sure, _UNSURE)))
        else:
            kept.append(word)
    return kept if struck else list(words)


def _is_printed(word: Word) -> bool:
    """Say whether a word is a number, and not read from a picture."""
    return word.sure >= 1.0 and _has_digit(word)


def _has_digit(word: Word) -> bool:
    return any(char.isdigit() for char in word.text)


def _is_through(stroke: Box, word: Word, em: float) -> bool:
    box = word.box
    high, low = (box.top + share * box.height for share in _WITHIN)
    alike = box.left - _BEYOND * em < stroke.left and stroke.right < box.right + _BEYOND * em
    return high < stroke.middle < low and alike and box.across(stroke) > _COVERED * box.width


def _is_beside(word: Word, other: Word, em: float) -> bool:
    level = abs(word.box.middle - other.box.middle) < em / 2
    gap = max(other.box.left - word.box.right, word.box.left - other.box.right)
    return level and gap < _BESIDE * em
