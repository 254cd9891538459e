"""Tables with merged cells: what stands in a cell beside several rows belongs to each of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from callout.core.authoring.lines import word_lines
from callout.core.paper.page import Box, Page, Word

_MOST_LINES: Final = 4
"""Lines of text in a merged cell; more are a list of their own."""
_LEVEL: Final = 0.35
_TALLEST: Final = 6.0
"""Most height of a row, in letter heights."""
_MOST_ROWS: Final = 14
_SHORTEST: Final = 4.0
"""Length of a rule, in letter heights."""
_SHARE: Final = 0.2
"""Least share of a table that a rule within it crosses."""


def merged_cells(words: Sequence[Word], page: Page, em: float) -> Iterator[Word]:
    """Yield ``words``; those of a merged cell once on each row that it stands beside."""
    rules = _rules(page, em)
    drawn = all(word.sure == 1.0 for word in page.words)  # a picture shows sides of boxes too
    upright = drawn and any(s.width < 0.5 * em and s.height > em for s in page.strokes)
    upright = upright or any(frame.height > 1.1 * em for frame in page.frames)
    cells: dict[tuple[Box, Box], list[Word]] = {}
    single: list[Word] = []
    for word in words:
        ends = _cell_of(word, rules, em)
        if ends is None or not _is_table(*ends, rules, upright, em):
            single.append(word)
        else:
            cells.setdefault(ends, []).append(word)
    yield from single
    for (top, bottom), held in cells.items():
        for part in _columns(held, em):
            inside = [r for r in _between(top, bottom, rules) if not _covers(r, _around(part), em)]
            edges = (top.middle, *sorted(r.middle for r in inside), bottom.middle)
            yield from _repeated(part, edges, single, em)


def _repeated(
    part: Sequence[Word], edges: Sequence[float], single: Sequence[Word], em: float
) -> Iterator[Word]:
    """Yield the words of a merged cell on each line between two ``edges``."""
    box = _around(part)
    if max((y - x for x, y in pairwise(edges[1:])), default=0.0) > _TALLEST * em:
        yield from part  # the rule under the table was not seen
        return
    levels = [_line_between(ends, box, single) for ends in pairwise(edges)]
    rows = [y for y in levels if y is not None]
    if (
        _stands_in_rows(part, rows, em)
        or not 2 <= len(rows) <= _MOST_ROWS
        or box.height > 1.5 * em * _MOST_LINES
    ):
        yield from part
        return
    ordered = sorted(part, key=lambda w: (round(w.box.top / em), w.box.left))
    text, tall = " ".join(w.text for w in ordered), min(w.box.height for w in part)
    one = replace(part[0], text=text, sure=min(w.sure for w in part))
    for middle in rows:
        yield replace(one, box=Box(box.left, middle - tall / 2, box.right, middle + tall / 2))


def _stands_in_rows(part: Sequence[Word], rows: Sequence[float], em: float) -> bool:
    """Say whether the words are level with the rows beside them: the column is not merged."""
    lines = word_lines(part, em)
    level = [any(abs(line.box.middle - y) < _LEVEL * em for y in rows) for line in lines]
    return len(lines) > 1 and all(level)


def _line_between(ends: tuple[float, float], box: Box, single: Sequence[Word]) -> float | None:
    """Return the height of the line of words beside ``box`` that is between ``ends``."""
    beside = [
        word.box.middle
        for word in single
        if ends[0] < word.box.middle < ends[1]
        and (word.box.left > box.right or word.box.right < box.left)
    ]
    return min(beside, key=lambda y: abs(y - box.middle), default=None)


def _around(part: Sequence[Word]) -> Box:
    return Box.around(word.box for word in part)


def _columns(held: Sequence[Word], em: float) -> Iterator[list[Word]]:
    """Yield the words of several merged cells between the same rules, column by column."""
    part: list[Word] = []
    edge = 0.0
    for word in sorted(held, key=lambda w: w.box.left):
        if part and word.box.left > edge + 1.5 * em:
            yield part
            part = []
        part.append(word)
        edge = max(edge, word.box.right) if len(part) > 1 else word.box.right
    yield part


def _rules(page: Page, em: float) -> list[Box]:
    """Return the level rules of a page; pieces that touch are one rule."""
    level = [
        stroke
        for stroke in page.strokes
        if stroke.height < 0.5 * em and stroke.width > em / 2
        if em < stroke.middle < page.height - em  # not the edge of a photographed sheet
    ]
    for frame in page.frames:
        if frame.width > 2 * em and frame.height > 1.1 * em:
            level.append(Box(frame.left, frame.top, frame.right, frame.top))
            level.append(Box(frame.left, frame.bottom, frame.right, frame.bottom))
    made: list[Box] = []
    for rule in sorted(level, key=lambda r: (round(r.middle / (0.3 * em)), r.left)):
        last = made[-1] if made else None
        if last and abs(last.middle - rule.middle) < 0.3 * em and _touch(last, rule, em):
            made[-1] = last.joined(rule)
        else:
            made.append(rule)
    return [r for r in made if r.width > _SHORTEST * em and not _leads(r, page, em)]


def _leads(rule: Box, page: Page, em: float) -> bool:
    """Say whether a rule begins at the foot of a word: it leads to a response."""
    return any(
        word.box.top < rule.middle < word.box.bottom + 0.4 * em
        and -0.5 * em < rule.left - word.box.right < em
        for word in page.words
    )


def _touch(one: Box, other: Box, em: float) -> bool:
    return max(one.left, other.left) < min(one.right, other.right) + 0.3 * em


def _covers(rule: Box, box: Box, em: float) -> bool:
    middle = (box.left + box.right) / 2
    return rule.left - em / 4 < middle < rule.right + em / 4


def _cell_of(word: Word, rules: Sequence[Box], em: float) -> tuple[Box, Box] | None:
    """Return the rules next above and below a word; None if there are none."""
    over = [r for r in rules if r.middle < word.box.middle and _covers(r, word.box, em)]
    under = [r for r in rules if r.middle > word.box.middle and _covers(r, word.box, em)]
    if not over or not under:
        return None
    return max(over, key=lambda r: r.middle), min(under, key=lambda r: r.middle)


def _is_table(top: Box, bottom: Box, rules: Sequence[Box], upright: bool, em: float) -> bool:
    """Say whether the rules between two others divide the columns of a table.

    Without upright lines, as in a photograph, they all begin or end at its edge and at one place.
    """
    inside = _between(top, bottom, rules)
    if upright or not inside:
        return bool(inside)
    left, right = max(top.left, bottom.left), min(top.right, bottom.right)
    lefts = {round(rule.left / em) for rule in inside}
    rights = {round(rule.right / em) for rule in inside}
    to_right = max(lefts) - min(lefts) <= 1 and all(right - r.right < em for r in inside)
    to_left = max(rights) - min(rights) <= 1 and all(r.left - left < em for r in inside)
    return to_right or to_left


def _between(top: Box, bottom: Box, rules: Sequence[Box]) -> list[Box]:
    """Return the rules that divide other columns of a table between ``top`` and ``bottom``."""
    left, right = max(top.left, bottom.left), min(top.right, bottom.right)
    near = 0.02 * (right - left)
    return [
        rule
        for rule in rules
        if top.middle < rule.middle < bottom.middle
        and rule.left > left - near
        and rule.right < right + near
        and rule.width > _SHARE * (right - left)
    ]
