"""Strokes that are no blanks: lines for notes, and lines that lead to a response."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from callout.core.formats.printed_units import UNITS
from callout.core.paper.page import Box, Word

_NEAR: Final = 0.3
_FEWEST: Final = 5
"""Lines for notes under one another."""
_EVEN: Final = 0.15
"""Most that the distance of two lines may differ from that of the others, as a share."""
_DRIFT: Final = 0.5
"""How differently such lines lie beside the words, in letter heights: they belong to none."""
_ALIKE: Final = 0.15
"""How much two strokes beside a heading may differ in length, as a share."""
_CLEAR: Final = 3.0
_MOST: Final = 300
"""Strokes of a page that are compared with one another; more are a drawing."""
_BETWEEN: Final = 1.2
"""Farthest that a leading line ends from the words beside it, in letter heights."""
_AFTER: Final = 8.0
_LEADING: Final = 4
_MOSTLY: Final = 0.7
_LENGTHS: Final = 1.6
"""How much longer the longest leading line is than the shortest: they fill the room left."""


def lines_for_notes(strokes: Sequence[Box], words: Sequence[Word], em: float) -> Iterator[Box]:
    """Yield strokes of one length, evenly under one another, that lie beside words anyhow."""
    columns: dict[tuple[int, int], list[Box]] = {}
    for stroke in strokes:
        key = round(stroke.left / (_NEAR * em)), round(stroke.right / (_NEAR * em))
        columns.setdefault(key, []).append(stroke)
    for column in columns.values():
        column.sort(key=lambda box: box.middle)
        if len(column) >= _FEWEST and _is_even(column) and _drifts(column, words, em):
            yield from column


def _is_even(column: Sequence[Box]) -> bool:
    """Say whether most strokes are as far from the next as the others."""
    steps = sorted(two.middle - one.middle for one, two in pairwise(column))
    usual = steps[len(steps) // 2]
    return sum(abs(step - usual) < _EVEN * usual for step in steps) >= 0.75 * len(steps)


def _drifts(column: Sequence[Box], words: Sequence[Word], em: float) -> bool:
    """Say whether the strokes keep no place beside the lines of words."""
    offsets = []
    for stroke in column:
        beside = [stroke.middle - w.box.bottom for w in words if w.box.across(stroke) < 0]
        offsets.append(min(beside, key=abs, default=0.0))
    within = sum(w.box.across(stroke) > 0 for w in words for stroke in column if (
        w.box.top < stroke.middle + em and stroke.middle - em < w.box.bottom))  # fmt: skip
    return not within and max(offsets) - min(offsets) > _DRIFT * em


def rules_of_headings(strokes: Sequence[Box], words: Sequence[Word], em: float) -> Iterator[Box]:
    """Yield two strokes of one length on both sides of words, beside which nothing else stands."""
    for one in strokes if len(strokes) <= _MOST else ():
        for two in strokes:
            same = abs(one.middle - two.middle) < em / 2 and one.right < two.left
            if same and abs(one.width - two.width) < _ALIKE * two.width:
                level = [w for w in words if w.box.top < one.middle < w.box.bottom + em / 4]
                within = [w for w in level if one.right - em < w.box.left < two.left]
                outside = [w for w in level if w not in within and _is_near(w.box, one, two, em)]
                named = any(re.search(r"[^\W\d_]{3}", w.text) for w in within)
                signs = any(re.search(r"[\d_/:.]", w.text) for w in within)
                ends = Box.around(w.box for w in within) if within else one
                near = max(ends.left - one.right, two.left - ends.right) < _BETWEEN * em
                if named and near and not signs and not outside:
                    yield from (one, two)


def _is_near(box: Box, one: Box, two: Box, em: float) -> bool:
    return one.left - _CLEAR * em < box.right and box.left < two.right + _CLEAR * em


def leading_strokes(strokes: Sequence[Box], words: Sequence[Word], em: float) -> list[Box]:
    """Return strokes that fill the room between the words of a line, if they lead on the page.

    Then they have many lengths, and the lines end at one place.
    """
    found = [(s, end) for s in strokes if (end := _end_if_filled(s, words, strokes, em))]
    if 4 * sum(_leads_to_unit(stroke, words, em) for stroke, _ in found) > len(found):
        return []  # a form: somebody writes on them
    level = [s for s, end in found if sum(abs(end - other) < _NEAR * em for _, other in found) > 2]
    widths = [stroke.width for stroke in level]
    if len(level) < max(_LEADING, _MOSTLY * len(found)):
        return []
    varied = max(widths) > _LENGTHS * min(widths) and len({round(w / em) for w in widths}) >= 3
    return [s for s, _ in found] if varied else []


def _leads_to_unit(stroke: Box, words: Sequence[Word], em: float) -> bool:
    """Say whether only a unit follows a stroke on its line."""
    level = sorted(
        (w for w in words if w.box.top < stroke.middle < w.box.bottom + 0.4 * em
         and w.box.left > stroke.right - em / 2),
        key=lambda word: word.box.left,
    )  # fmt: skip
    text = level[0].text.casefold().strip(".,") if level else ""
    alone = len(level) < 2 or level[1].box.left - level[0].box.right > em
    return alone and (text in UNITS or not re.search(r"[^\W\d_]{2}", text))


def _end_if_filled(
    stroke: Box, words: Sequence[Word], strokes: Sequence[Box], em: float
) -> float | None:
    """Return where the line of a stroke ends that begins after a word and ends before another."""
    level = [w.box for w in words if w.box.top < stroke.middle < w.box.bottom + 0.4 * em]
    others = [s for s in strokes if s is not stroke and abs(s.middle - stroke.middle) < em / 4]
    reach = _BETWEEN * em
    if any(-em < stroke.left - s.right < _AFTER * em for s in others):
        return None  # a value after the response has begun
    if not any(-em / 2 < stroke.left - box.right < reach for box in level):
        return None
    end, ended = stroke.right, False
    for box in sorted((*level, *others), key=lambda one: one.left):
        if box.right > end and -em / 2 < box.left - end < reach:
            end, ended = box.right, True
    return end if ended else None
