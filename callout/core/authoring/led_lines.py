"""Marks that lead from challenge to response where most lines have them: underscores, slashes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import median
from typing import Final

from callout.core.authoring.quantities import is_label, unit_end
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Word

_LINE: Final = re.compile(r"_{2,}")
_ENDS: Final = re.compile(r"_{2,}(?:[.:,]_+)*[.,;]?")
_FEWEST: Final = 4
"""Lines with such a run between two words, before it can be a leader."""
_LENGTHS: Final = 3
"""Different lengths that the runs must have: leaders fill the room that is left."""
_LONG: Final = 2.5
"""In letter heights."""
_NEAR: Final = 1.5
"""Farthest that a leader ends from the words beside it, in letter heights."""
_DOTTED: Final = re.compile(r"(?:[.\u2026\u00b7]\s?){4,}")
_IS_DOTS: Final = re.compile(r"[.\u2026\u00b7,]+")
_FEWEST_OPEN: Final = 2
"""Dots that lead to nothing, before those of a page are written on."""
_LONGEST: Final = 7.0
"""Length of dots to write on after a label, in letter heights."""
_FAR: Final = 3.0
"""Room before dots that do not lead, in letter heights."""
_FEWEST_APART, _ALIKE, _MOST_AFTER = 3, 1.2, 4
_SAID: Final = re.compile(r"\w")
_MOSTLY: Final = 0.7
"""Share of the lines that a slash must divide."""
_DIVIDES: Final = re.compile(r"\.{3,}|\u2026|:$|^[-=\u2013\u2014>\u2192]+$|_{15}")
_ANGLE: Final = "\u00bb"
_LEADER: Final = "." * 15


def without_led_lines(lines: Sequence[Sequence[Word]], em: float) -> Iterator[Word]:
    """Yield the words of ``lines``; runs between two words are leaders if many of them differ."""
    found = [set(_runs_between(line, em)) for line in lines]
    lengths = [line[at].box.width for line, runs in zip(lines, found, strict=True) for at in runs]
    leading = len(lengths) >= _FEWEST and len({round(one / em) for one in lengths}) >= _LENGTHS
    for line, runs in zip(lines, found, strict=True):
        for at, word in enumerate(line):
            led = leading and at in runs and len(word.text) < len(_LEADER)
            yield replace(word, text=_LEADER) if led else word


def _runs_between(line: Sequence[Word], em: float) -> Iterator[int]:
    """Yield the places of runs with a word on both sides; later ones are long if they lead.

    A line that ends in a run has none: that one leads to nothing, so they are written on.
    """
    first = True
    end = len(line) - 1
    while end > 0 and unit_end(line[end].text) == len(line[end].text):
        end -= 1
    runs = [at for at in range(end) if _ENDS.fullmatch(line[at].text)]
    named = runs and any(_SAID.search(_LINE.sub("", word.text)) for word in line[runs[0] : end])
    if named and _ENDS.fullmatch(line[end].text):
        return
    for at in range(1, len(line) - 1):
        is_run = _LINE.fullmatch(line[at].text) and not _LINE.search(line[at - 1].text)
        is_run = is_run and _fills_room(line, at, em)
        if is_run and (first or line[at].box.width > _LONG * em):
            first = False
            if any(_SAID.search(_LINE.sub("", word.text)) for word in line[at + 1 :]):
                yield at


def _fills_room(line: Sequence[Word], at: int, em: float) -> bool:
    """Say whether a run fills the room between the words beside it, as a leader does."""
    before, run, after = (word.box for word in line[at - 1 : at + 2])
    return max(run.left - before.right, after.left - run.right) < _NEAR * em


def dotted_blanks(lines: Sequence[Sequence[Word]], em: float) -> Iterator[Word]:
    """Yield the words of ``lines``; dots that lead to nothing but units are written on.

    On such a page no dots lead to a response.
    """
    said = [line for line in lines if any(_SAID.search(word.text) for word in line)]
    open_, sure, led = [], _dots_apart(said, em), 0  # other dots are a rule
    for line in said:
        for at, word in enumerate(line):
            if not _DOTTED.fullmatch(word.text):
                continue
            after = _word_near(line, at, em)
            labelled = _follows_label(line, at, em)
            if labelled or (_stands_apart(line, at, em) and _leads_to_value(line, at)):
                sure.append(id(word))
            elif at and (after is None or _ends_in_unit(line, at, em)):
                open_.append(id(word))
            elif at:
                led += 1
    written = {*sure, *(open_ if len(open_) + len(sure) >= _FEWEST_OPEN and not led else ())}
    for line in lines:
        for word in line:
            yield replace(word, text=BLANK) if id(word) in written else word


def _dots_apart(lines: Sequence[Sequence[Word]], em: float) -> list[int]:
    """Return dots to write on where many do not reach back to the words before them.

    What leads fills the room; those of one length that stand at the end of a line do not.
    """
    dots = [
        (line, at)
        for line in lines
        for at in range(1, len(line))
        if _DOTTED.fullmatch(line[at].text)
    ]
    ends = [
        line[at].box.width
        for line, at in dots
        if at + 1 == len(line) and line[at].box.left - line[at - 1].box.right > _FAR * em
    ]
    if len(ends) < _FEWEST_APART:
        return []
    most = _ALIKE * median(ends)
    short = [(line, at) for line, at in dots if line[at].box.width < most]
    return [id(line[at]) for line, at in short if len(line) - at <= _MOST_AFTER]


def _ends_in_unit(line: Sequence[Word], at: int, em: float) -> bool:
    """Say whether the dots at a place have only a unit after them."""
    after = _word_near(line, at, em)
    unit = after is not None and unit_end(after.text) == len(after.text)
    return unit and _word_near(line, at + 1, em) is None


def _stands_apart(line: Sequence[Word], at: int, em: float) -> bool:
    """Say whether dots begin a cell, or follow a mark that divides: they do not fill the room."""
    if not at:
        return True
    before = line[at - 1]
    marked = _DIVIDES.search(before.text) is not None or before.text in ("/", "|", BLANK)
    return marked or before.box.right + _NEAR * em < line[at].box.left


def _follows_label(line: Sequence[Word], at: int, em: float) -> bool:
    """Say whether dots follow what tells values apart, "L ..... R .....", within a response."""
    if at < 2 or not is_label(line[at - 1].text) or line[at].box.width > _LONGEST * em:
        return False
    before, gap = line[at - 2], line[at - 1].box.left - line[at - 2].box.right
    return gap > _NEAR * em or _DOTTED.fullmatch(before.text) is not None


def _leads_to_value(line: Sequence[Word], at: int) -> bool:
    """Say whether a unit, or a sign that joins values, is the next word of a line after dots."""
    rest = (word.text for word in line[at + 1 :] if not _IS_DOTS.fullmatch(word.text))
    bare = next(rest, "").rstrip(",;")
    return bare in ("/", "|") or (bare != "" and unit_end(bare) == len(bare))


def _word_near(line: Sequence[Word], at: int, em: float) -> Word | None:
    """Return the word that follows one on a line, unless it stands far from it."""
    after = line[at + 1] if at + 1 < len(line) else None
    near = after is not None and after.box.left - line[at].box.right < _LONG * em
    return after if near else None


def without_led_slashes(lines: Sequence[Sequence[Word]]) -> Iterator[Word]:
    """Yield the words of ``lines``; a slash divides items if nearly all lines have one."""
    long = [line for line in lines if len(line) > 2]
    slashed = [line for line in long if any(word.text == "/" for word in line[1:])]
    others = [line for line in long if any(_DIVIDES.search(word.text) for word in line)]
    leading = len(slashed) >= _FEWEST and len(slashed) > _MOSTLY * len(long)
    leading = leading and len(others) < len(long) / 4
    for line in lines:
        for at, word in enumerate(line):
            yield replace(word, text=_ANGLE) if leading and at and word.text == "/" else word
