"""Letters of a PDF become words, by the gaps between them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from statistics import median
from typing import Final

from callout.core.paper.page import Box, Word

_GAP: Final = 0.18
"""Gap between two words, in letter heights; a space is 0.2 to 0.3 of them. Common practice."""
_CLEAR_GAP: Final = 0.1
"""The same where no gap of the line is between this and that of letters that touch."""
_TOUCHING: Final = 0.05
_FEWEST_GAPS: Final = 4
"""Gaps between letters from which a line shows how far its letters are set apart."""
_ONE_GLYPH: Final = 0.1
"""Letters whose starts are nearer are one sign."""
_RAISED: Final = 0.8
"""Height of a raised number, relative to the letters before it."""
_SUPERSCRIPTS: Final = str.maketrans(
    "0123456789", "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079"
)


class Letter:
    """One letter of a PDF and where it is."""

    __slots__ = ("angle", "bold", "box", "font", "space", "start", "text")

    def __init__(
        self,
        text: str,
        box: Box,
        bold: bool,
        space: bool,
        angle: int = 0,
        start: float | None = None,
        font: bytes = b"",
    ) -> None:
        self.text, self.box, self.bold, self.space = text, box, bold, space
        self.angle = angle
        self.start = box.left if start is None else start
        """Where the pen was when it was set; a slanting letter reaches beyond its place."""
        self.font = font


def letter_words(letters: Sequence[Letter]) -> Iterator[Word]:
    """Yield the words that ``letters``, in the order of the file, make.

    A gap divides words if it is wider than the letters of its line are set apart.
    """
    runs = list(_level_runs(letters))
    wide = _advances(runs)
    for run in runs:
        yield from _run_words(run, wide)


def _advances(runs: Sequence[Sequence[Letter]]) -> dict[tuple[str, bytes, float], float]:
    """Return how far the pen moves on after each letter of a font, where that can be seen."""
    steps: dict[tuple[str, bytes, float], list[float]] = {}
    for run in runs:
        for one, two in pairwise(run):
            moved = two.start - one.start
            if not one.space and not two.space and moved > _ONE_GLYPH:
                steps.setdefault(_kind(one), []).append(moved)
    found = {kind: sorted(moves) for kind, moves in steps.items() if len(moves) >= _FEWEST_GAPS}
    return {kind: moves[len(moves) // 4] for kind, moves in found.items()}


def _kind(letter: Letter) -> tuple[str, bytes, float]:
    return letter.text, letter.font, round(letter.box.height, 1)


def turned_words(letters: Sequence[Letter]) -> Iterator[Word]:
    """Yield the words of letters that run up or down the page."""
    word: list[Letter] = []
    for letter in letters:
        apart = word and not letter.space and _is_apart(word[-1].box, letter.box)
        if (letter.space or apart) and word:
            yield _turned_word(word)
            word = []
        if not letter.space:
            word.append(letter)
    if word:
        yield _turned_word(word)


def _is_apart(one: Box, two: Box) -> bool:
    em = max(min(one.width, one.height), 0.1)
    across = max(one.left - two.right, two.left - one.right)
    return max(one.top - two.bottom, two.top - one.bottom) > 0.5 * em or across > em


def _turned_word(letters: Sequence[Letter]) -> Word:
    box = Box.around(letter.box for letter in letters)
    return Word("".join(letter.text for letter in letters), box)


def _level_runs(letters: Sequence[Letter]) -> Iterator[list[Letter]]:
    """Yield letters that follow one another on one line."""
    run: list[Letter] = []
    for letter in letters:
        held = next((one for one in reversed(run) if not one.space), None)
        if held is not None and not letter.space and not _is_level(held, letter):
            yield run
            run = []
        run.append(letter)
    yield run


def _is_level(one: Letter, two: Letter) -> bool:
    em = max(one.box.height, two.box.height, 0.1)
    back = two.box.left - one.box.right < -1.2 * em
    return abs(one.box.middle - two.box.middle) < 0.4 * em and not back


def _run_words(
    run: Sequence[Letter], wide: Mapping[tuple[str, bytes, float], float]
) -> Iterator[Word]:
    apart = _set_apart(run)
    least = _least_gap(run, apart)
    word: list[Letter] = []
    for letter in run:
        over = _moved_over(word, letter, wide) if word and not apart else 0.0
        if letter.space or (word and _begins_word(word[-1], letter, apart, over, least)):
            yield from _made_word(word)
            word = []
        if not letter.space:
            word.append(letter)
    yield from _made_word(word)


def _moved_over(
    word: Sequence[Letter], letter: Letter, wide: Mapping[tuple[str, bytes, float], float]
) -> float:
    """Return how far the pen moved beyond the last letter of ``word``; 0 if that is not known."""
    last = word[-1]
    in_one = len(word) > 1 and last.start - word[-2].start < _ONE_GLYPH  # "fi" in one sign
    known = wide.get(_kind(last))
    return 0.0 if in_one or known is None else letter.start - last.start - known


def _set_apart(run: Sequence[Letter]) -> float:
    """Return how far the letters of a line are set apart: their usual gap, if most have one."""
    gaps = [
        two.box.left - one.box.right
        for one, two in pairwise(run)
        if not one.space and not two.space and one.text.isalpha() and two.text.isalpha()
    ]
    return max(0.0, median(gaps)) if len(gaps) >= _FEWEST_GAPS else 0.0


def _least_gap(run: Sequence[Letter], apart: float) -> float:
    """Return the gap that divides the words of a line, in letter heights.

    Where letters touch and all other gaps are clear, a narrow space is one too.
    """
    gaps = [
        (two.box.left - one.box.right - apart) / max(one.box.height, two.box.height, 0.1)
        for one, two in pairwise(run)
        if not one.space and not two.space
    ]
    between = any(_TOUCHING < gap < _CLEAR_GAP for gap in gaps)
    return _GAP if between or len(gaps) < _FEWEST_GAPS else _CLEAR_GAP


_DOTS: Final = frozenset(".\u2026\u00b7\u2022\u2024_")


def _begins_word(last: Letter, letter: Letter, set_apart: float, over: float, least: float) -> bool:
    """Say whether a word begins; ``over``: how far the pen moved beyond the last letter."""
    one, two = last.box, letter.box
    em = max(one.height, two.height, 0.1)
    if over > _GAP * em and last.text.isalnum() and letter.text.isalnum():
        return True
    apart = two.left - one.right - set_apart
    leads = (last.text in _DOTS) != (letter.text in _DOTS) and apart > -0.05 * em
    dotted = leads and last.text in "._\u2026\u00b7" and letter.text.isalnum()
    return apart > least * em or (dotted and last.text != ".")


def _made_word(run: list[Letter]) -> Iterator[Word]:
    """Yield the word of ``run``; a leader that touches a word becomes a word of its own."""
    text = "".join(_written(letter, run[0]) for letter in run)
    if not text.strip():
        return
    for start, end in _pieces(text):
        part = run[start:end]
        box = Box.around(letter.box for letter in part)
        bold = sum(letter.bold for letter in part) * 2 > len(part)
        yield Word(text[start:end], box, 1.0, bold)


def _written(letter: Letter, first: Letter) -> str:
    """Return a letter; a small raised number is a footnote mark or a power."""
    small = letter.box.height < _RAISED * first.box.height
    raised = letter.box.middle < first.box.middle
    return letter.text.translate(_SUPERSCRIPTS) if small and raised else letter.text


def _pieces(text: str) -> Iterator[tuple[int, int]]:
    at = 0
    for found in re.finditer(r"[.\u2024\u00b7\u2022]{3,}|\u2026+|_{2,}(?:[.:,]_+)*", text):
        if found.start() > at:
            yield at, found.start()
        yield found.span()
        at = found.end()
    if at < len(text):
        yield at, len(text)
