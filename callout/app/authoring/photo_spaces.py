"""Spaces that the reader of letters did not see: found where the picture shows a gap.

A word is divided only where the picture has a clear gap and the letters say the same: two known
words, or letters and a number ("above 3500"). Codes such as "V1" and "RWY27" have no gap.
"""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from importlib.resources import files
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Box, Word

if TYPE_CHECKING:
    from numpy.typing import NDArray

_SHORTEST: Final = 6
"""Letters of what may be two words."""
_PART: Final = 2
_GAP: Final = 0.2
"""Least width of a gap between words, in heights of their box."""
_CLEARER: Final = 1.6
"""How much wider it is than any other gap of the word."""
_NEAR: Final = 0.14
"""How near to where the letters say, as a share of the word."""
_DARK: Final = 0.5
_NEAR_CAPITAL: Final = 0.6
"""Clear space after a capital that belongs to the next word, in heights of its box."""
_ROOMY: Final = 0.75
"""Width for each letter, in heights of the box, from which a box is wider than its word."""
_LETTERS: Final = (0.1, 0.62)
"""Where letters stand in the height of their box, above what is written under them."""
_SEEN: Final = 40
_BORDER: Final = re.compile(r"(?<=[A-Za-z]{2})(?=\d{2})|(?<=\d{2})(?=[A-Za-z]{2})")
_BEFORE_DIGIT: Final = re.compile(r"(?<![A-Za-z])([A-Za-z]{3,}+)(?=[-+]?\d)")
_AFTER_COMMA: Final = re.compile(r"(?<=[A-Za-z]{2}[,;])(?=[A-Za-z0-9])")


def spaced_words(words: tuple[Word, ...], grey: NDArray[np.uint8]) -> Iterator[Word]:
    """Yield ``words``; ``grey`` is the picture in which their boxes are."""
    whole = _with_signs_apart(_whole_words(words))
    for word in (part for one in whole for part in _without_to(_tight(one, grey))):
        places = _places(word.text)
        gap = _gap_in(word.box, grey) if places else None
        at = next((at for at in places if gap and _is_at(gap[0], at, word)), None)
        if gap is None or at is None:
            yield word
            continue
        box, middle = word.box, gap[0]
        half = gap[1] / 2
        left = Box(box.left, box.top, middle - half, box.bottom)
        right = Box(middle + half, box.top, box.right, box.bottom)
        yield Word(word.text[:at], left, word.sure, word.bold)
        yield Word(word.text[at:], right, word.sure, word.bold)


def _whole_words(words: Sequence[Word]) -> Iterator[Word]:
    """Yield words; a capital set far from the rest of its word is joined with it: "M AIN"."""
    found: list[Word] = []
    spaced = any(_is_split(one, two, sure=True) for one, two in pairwise(words))
    for word in words:
        if found and spaced and _is_split(found[-1], word, sure=False):
            last = found.pop()
            word = replace(word, text=last.text + word.text, box=last.box.joined(word.box))
        found.append(word)
    yield from found


def _is_split(one: Word, two: Word, *, sure: bool) -> bool:
    """Say whether two words are a capital and the rest of its word; ``sure``: and nothing else."""
    lone = len(one.text) == 1 and one.text.isalpha() and one.text.isupper()
    if not lone or len(two.text) < _PART or not (two.text.isalpha() and two.text.isupper()):
        return False
    near = two.box.left - one.box.right < _NEAR_CAPITAL * one.box.height
    rest = two.text.casefold()
    whole = (one.text + two.text).casefold() in _known()
    return near and whole and not (sure and rest in _known())


def _with_signs_apart(words: Iterable[Word]) -> Iterator[Word]:
    """Yield words with the spaces around signs that were not seen: "LOCKED,2", "V2+ 10"."""
    for word in words:
        text = _AFTER_COMMA.sub(" ", word.text)
        text = re.sub(r"^([Vv][A-Za-z0-9]{1,4})\+$", r"\1 +", text)
        text = re.sub(r"(?<=[A-Z])\u00b1(?=\d)", " \u00b1 ", text)
        yield replace(word, text=text)


def _tight(word: Word, grey: NDArray[np.uint8]) -> Word:
    """Return a word that is too wide for its letters without the room beside them.

    The reader of letters counts an underscore beside a word as part of its place.
    """
    box = word.box
    if BLANK in word.text or box.width < _ROOMY * box.height * len(word.text):
        return word
    high = box.height
    top, bottom = round(box.top + _LETTERS[0] * high), round(box.top + _LETTERS[1] * high)
    left, right = max(0, round(box.left)), round(box.right)
    part = grey[max(0, top) : max(0, bottom), left:right].astype(float)
    if part.size == 0:
        return word
    paper, dark = np.percentile(part, 90), np.percentile(part, 2)
    inked = np.flatnonzero((part < paper - _DARK * (paper - dark)).any(axis=0))
    if paper - dark < _SEEN or not inked.size:
        return word
    start, end = left + int(inked[0]) - 2, left + int(inked[-1]) + 3
    return replace(word, box=replace(box, left=max(box.left, start), right=min(box.right, end)))


def _without_to(word: Word) -> Iterator[Word]:
    """Yield a word; "2to" and "to5" are two."""
    found = re.fullmatch(r"(\d{1,4})(to)|(to)(\d{1,4})", word.text)
    if found is None:
        yield word
        return
    one, two = (part for part in found.groups() if part)
    at = word.box.left + word.box.width * len(one) / len(word.text)
    yield replace(word, text=one, box=replace(word.box, right=at - 1))
    yield replace(word, text=two, box=replace(word.box, left=at + 1))


def _places(text: str) -> tuple[int, ...]:
    """Return where a text may be divided: between two known words, or at a number."""
    borders = tuple(found.start() for found in _BORDER.finditer(text))
    ends = (m.end() for m in _BEFORE_DIGIT.finditer(text) if m[1].casefold() in _known())
    borders = tuple(sorted({*(borders if len(text) >= _SHORTEST else ()), *ends}))
    bare = re.fullmatch(r"([A-Za-z]+)[.,;:]?", text)
    if bare is None or len(text) < _SHORTEST or bare[1].casefold() in _known():
        return borders
    whole = bare[1].casefold()
    return tuple(
        at
        for at in range(_PART, len(whole) - _PART + 1)
        if whole[:at] in _known() and whole[at:] in _known()
    )


@lru_cache(maxsize=1)
def _known() -> frozenset[str]:
    """Return the words of the pronouncing dictionary that comes with the recogniser."""
    path = files("callout") / "data" / "hearing" / "cmudict.dict.gz"
    with path.open("rb") as held:
        lines = gzip.decompress(held.read()).decode("utf-8", "replace").splitlines()
    words = (line.partition(" ")[0] for line in lines)
    return frozenset(word for word in words if word.isalpha())


def _gap_in(box: Box, grey: NDArray[np.uint8]) -> tuple[float, float] | None:
    """Return the middle and the width of the one clear gap in a word; None if there is none."""
    top, bottom, left, right = (round(n) for n in (box.top, box.bottom, box.left, box.right))
    part = grey[max(0, top) : bottom, max(0, left) : right].astype(float)
    if part.size == 0 or part.shape[1] < _SHORTEST:
        return None
    high = part.shape[0]
    part = part[high // 8 : high - high // 8]  # a rule under the word is no letter
    paper, dark = np.percentile(part, 90), np.percentile(part, 3)
    inked = (part < paper - _DARK * (paper - dark)).any(axis=0)
    gaps = sorted(_gaps(inked), key=lambda gap: gap[1] - gap[0], reverse=True)
    if not gaps:
        return None
    wide = gaps[0][1] - gaps[0][0]
    other = gaps[1][1] - gaps[1][0] if len(gaps) > 1 else 0
    if wide < _GAP * high or wide < _CLEARER * other:
        return None
    return max(0, left) + (gaps[0][0] + gaps[0][1]) / 2, float(wide)


def _gaps(inked: NDArray[Any]) -> Iterator[tuple[int, int]]:
    """Yield where there is no ink, between the first and the last."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], inked.astype(int), [0]))))
    starts, ends = edges[::2], edges[1::2]
    for end, start in zip(ends[:-1], starts[1:], strict=True):
        yield int(end), int(start)


def _is_at(x: float, at: int, word: Word) -> bool:
    """Say whether ``x`` is where letter ``at`` begins, as wide as letters are on the whole."""
    widths = [_width(sign) for sign in word.text]
    share = (sum(widths[:at]) + 0.15) / (sum(widths) + 0.3)
    return abs((x - word.box.left) / max(word.box.width, 1.0) - share) < _NEAR


def _width(sign: str) -> float:
    """Return how wide a letter is, roughly; in most typefaces."""
    if sign in "iljtf.,:;'|I1r":
        return 0.33
    return 0.8 if sign in "mwMWQO" else 0.66 if sign.isupper() else 0.52
