"""Strokes and frames on paper that stand for a value to write in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from statistics import median
from typing import Final

from callout.core.paper.drawn_boxes import drawn_boxes
from callout.core.paper.page import LEFT_OPEN, Box, Page, Word
from callout.core.paper.stroke_runs import leading_strokes, lines_for_notes, rules_of_headings

BLANK: Final = "____"
WRITTEN_ON: Final = re.compile(r"(?<!_)_{2,14}(?!_)(?:\s?[.:,]\s?_{1,2}(?!_))*")
"""A run of underscores too short to be a leader."""
OPEN_DOTS: Final = re.compile(r"[^\W_][,:]?\s*+(?:[.\u2026\u00b7]\s?){8,}+$")
"""Dots after which nothing comes on their line: behind a response they may be written on."""
_SAID: Final = re.compile(r"[^\W_]")
_SHORTEST, _LONGEST = 1.4, 14.0
"""Length of a blank, in letter heights: anything shorter is a dash, anything longer divides a
table.
"""
_DOTS: Final = frozenset(". \u2026")
_SHORTEST_AT_FOOT: Final = 1.05
"""The same for a stroke of a picture, where the boxes of words are taller than their letters."""
_FAINTEST: Final = 6.0
"""Length up to which a stroke that can hardly be seen is a blank: thin underscores are so."""
_FEW_LENGTHS: Final = 2
_FOOT: Final = 0.4
_NEXT: Final = 20.0
_LONGEST_BESIDE_LINES: Final = 8.0
"""The same where lines lead from challenge to response."""
_FEWEST_LINES: Final = 3
_TICK: Final = 1.5
"""A frame up to this wide is a tick box."""


def letter_height(words: tuple[Word, ...]) -> float:
    """Return the usual letter height; 1 if there are no letters."""
    return median([word.box.height for word in words] or [1.0]) or 1.0


def blanks_in(text: str) -> int:
    """Return how many values are to be written on a printed line."""
    open_run = LEFT_OPEN.search(text)  # after words, it leads to nothing
    led = open_run is not None and _SAID.search(text[: open_run.start()]) is not None
    return len(WRITTEN_ON.findall(text)) + led


def blank_words(page: Page) -> Iterator[Word]:
    """Yield a blank for each stroke and frame of ``page`` that a value is written on or in."""
    em = letter_height(page.words)
    boxes = list(drawn_boxes(page, em))
    for stroke in (*written_on(page, page.strokes, em), *_faint_blanks(page, em)):
        if not any(_is_in(stroke, box, em) for box in boxes):
            top = stroke.bottom - em
            yield Word(BLANK, Box(stroke.left, top, stroke.right, stroke.bottom))
    for frame in (*page.frames, *boxes):
        wide = _TICK * em < frame.width <= _LONGEST * em
        if wide and 0.6 * em < frame.height < 2.6 * em and not holds_words(frame, page.words):
            middle = frame.middle
            yield Word(BLANK, Box(frame.left, middle - em / 2, frame.right, middle + em / 2))


def _faint_blanks(page: Page, em: float) -> list[Box]:
    """Return strokes that can hardly be seen, if they are thin underscores of one length or two.

    Those of many lengths lead to responses.
    """
    near = [s for s in page.faint if _is_at_foot(s, page, em) and s.width < _FAINTEST * em]
    found = list(written_on(page, near, em))
    return found if len({round(2 * s.width / em) for s in found}) <= _FEW_LENGTHS else []


def _is_in(stroke: Box, box: Box, em: float) -> bool:
    """Say whether a stroke is a side of a box."""
    near = em / 4
    level = box.top - near < stroke.middle < box.bottom + near
    return level and box.left - near < stroke.left and stroke.right < box.right + near


def written_on(page: Page, strokes: Iterable[Box], em: float) -> Iterator[Box]:
    """Yield those of ``strokes`` that are as long as a blank and have a line of their own."""
    longest = (_LONGEST_BESIDE_LINES if _has_lines(page, em) else _LONGEST) * em
    long = [s for s in strokes if s.height < 0.35 * em and s.width >= _SHORTEST * em]
    kinds = (lines_for_notes, leading_strokes, rules_of_headings)
    none = {stroke for kind in kinds for stroke in kind(long, page.words, em)}
    for stroke in (s for s in strokes if s not in none):
        level = stroke.height < 0.35 * em
        least = _SHORTEST_AT_FOOT if _is_at_foot(stroke, page, em) else _SHORTEST
        if level and least * em <= stroke.width <= longest and _is_free(stroke, page, em):
            yield stroke


def _is_at_foot(stroke: Box, page: Page, em: float) -> bool:
    """Say whether a stroke of a picture lies where the letters beside it stand: it is no dash."""
    return any(
        word.sure < 1.0
        and -_FOOT * em < stroke.middle - word.box.bottom < 0.1 * em
        and -_NEXT * em < word.box.across(stroke) <= 0
        for word in page.words
    )


def _has_lines(page: Page, em: float) -> bool:
    """Say whether lines rather than dots lead from challenge to response on this page."""
    long = (s for s in page.strokes if s.height < 0.35 * em and s.width > _LONGEST * em)
    return sum(_is_between(s, page, em) for s in long) >= _FEWEST_LINES


def _is_between(stroke: Box, page: Page, em: float) -> bool:
    level = [w.box for w in page.words if w.box.top < stroke.middle < w.box.bottom + 0.4 * em]
    return any(0 <= stroke.left - b.right + em / 2 < 2 * em for b in level) and any(
        0 <= b.left - stroke.right + em / 2 < 2 * em for b in level
    )


def _is_free(stroke: Box, page: Page, em: float) -> bool:
    """Say whether a stroke underlines nothing, does not continue, and has a line of its own."""
    beside = False
    for word in page.words:
        if set(word.text) <= _DOTS:
            continue  # a dotted rule under a row, or a leader
        box = word.box
        across = box.across(stroke)
        if across > 0.3 * em and -0.4 * em < stroke.top - box.bottom < 0.5 * em:
            return False
        if across > 0.3 * em and box.top < stroke.middle < box.bottom:
            return False
        level = box.top - 0.2 * em < stroke.middle < box.bottom + 0.5 * em
        if level and across > -0.8 * em and BLANK in word.text:
            return False  # the reader saw part of it
        if across <= 0.3 * em and level:
            beside = True
    others = (*page.strokes, *page.faint)
    return beside and not any(goes_on(stroke, other, em) for other in others)


def goes_on(stroke: Box, other: Box, em: float) -> bool:
    """Say whether ``other`` touches an end of ``stroke``: together they form a table or a frame."""
    if other == stroke:
        return False
    near, touching = 0.3 * em, 0.15 * em
    level = abs(other.middle - stroke.middle) < touching and (
        abs(other.left - stroke.right) < touching or abs(other.right - stroke.left) < touching
    )
    upright = other.height > em and (
        other.top - near < stroke.middle < other.bottom + near
        and min(abs(other.left - stroke.left), abs(other.left - stroke.right)) < touching
    )
    return level or upright


def holds_words(frame: Box, words: Sequence[Word]) -> bool:
    """Say whether the middle of a word is within ``frame``."""
    return any(
        frame.left < (word.box.left + word.box.right) / 2 < frame.right
        and frame.top < word.box.middle < frame.bottom
        for word in words
    )
