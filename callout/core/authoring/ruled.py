"""Tables with ruled lines: all lines between two rules form one row."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import reduce
from typing import Final

from callout.core.authoring.lines import Line, line_cells, word_lines
from callout.core.authoring.splitting import BULLET, split_text
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Box, Cell, Page, Word, joined_text

_WIDEST_BAND: Final = 4
"""Maximum lines of a row; more are a list in a frame."""
_FEWEST_RULES: Final = 4
_UPRIGHT: Final = 1.1
"""Least height of a rule between two cells, in letter heights."""
_REMARK: Final = re.compile(r"(?:note|caution|warning|remark)", re.IGNORECASE)
_HINT: Final = 0.85
"""Height of the letters of a remark, relative to those of the challenge over it."""
_FILLED: Final = 0.55
"""Minimum share of its cell that a challenge fills before it continues on the next line."""


def ruled_words(words: Iterable[Word], page: Page, em: float) -> Iterator[Word]:
    """Yield ``words``, with a mark where an upright rule stands between two of one line."""
    upright = [s for s in page.strokes if s.width < 0.35 * em and s.height > _UPRIGHT * em]
    if any(word.sure < 1.0 for word in page.words):
        upright = [rule for rule in upright if not _is_side(rule, page, em)]
    for line in word_lines(words, em):
        middle = line.box.middle
        beside = [s for s in upright if s.top < middle < s.bottom]
        yield line.words[0]
        for one, two in itertools.pairwise(line.words):
            ruled = any(_divides(rule, one, two, em) for rule in beside)
            yield replace(two, ruled=True) if ruled else two


def has_box_beside(page: Page, em: float) -> bool:
    """Say whether a picture shows a box beside the words: it stands in a column of its own."""
    if not any(word.sure < 1.0 for word in page.words):
        return False
    left = min(word.box.left for word in page.words) + 4 * em
    right = max(word.box.right for word in page.words) - 4 * em
    upright = [s for s in page.strokes if s.width < 0.35 * em and s.height > _UPRIGHT * em]
    return any(left < rule.left < right and _is_side(rule, page, em) for rule in upright)


def _is_side(rule: Box, page: Page, em: float) -> bool:
    """Say whether level rules meet an upright one from one side only: it is a side of a box."""
    x, near = (rule.left + rule.right) / 2, 0.4 * em
    level = [s for s in page.strokes if s.height < 0.5 * em and s.width > 4 * em]
    top, bottom = max(em, rule.top - 4 * em), min(page.height - em, rule.bottom + 4 * em)
    level = [s for s in level if top < s.middle < bottom]  # not the edge of the sheet
    before = any(s.left < x - near and s.right > x - near for s in level)
    after = any(s.right > x + near and s.left < x + near for s in level)
    return before != after


def _divides(rule: Box, one: Word, two: Word, em: float) -> bool:
    """Say whether a rule stands between two words, and is no side of a frame to write in."""
    x, near = (rule.left + rule.right) / 2, 0.2 * em
    framed = (BLANK in one.text and abs(x - one.box.right) < near) or (
        BLANK in two.text and abs(x - two.box.left) < near
    )
    return one.box.right - near < x < two.box.left + near and not framed


def ruled_bands(lines: Sequence[Line], page: Page, em: float) -> Iterator[list[Line]]:
    """Yield lines between the same two rules together, and other lines alone."""
    if not lines:
        return
    rules = rule_heights(lines, page, em)
    held: list[Line] = []
    for line in lines:
        if held and not (len(rules) >= _FEWEST_RULES and _same_band(held[-1], line, rules)):
            yield from _told_band(held, rules, em)
            held = []
        held.append(line)
    yield from _told_band(held, rules, em)


def _told_band(held: list[Line], rules: Sequence[float], em: float) -> Iterator[list[Line]]:
    """Yield a band as one row, unless it contains several items."""
    hint = held[-1:] if len(held) > 1 and _is_hint(held) else []
    held = held[: len(held) - len(hint)]
    if len(held) > 1 and _is_one_row(held, rules, em):
        yield held
    else:
        yield from ([line] for line in held)
    if hint:
        yield hint


def _is_hint(held: Sequence[Line]) -> bool:
    """Say whether the last line is set in small type under the first one: it is a remark on it."""
    first, last = held[0], held[-1]
    tall = max(word.box.height for word in first.words)
    small = all(word.box.height < _HINT * tall for word in last.words)
    level = abs(first.box.left - last.box.left) < tall / 2
    return small and level and not any(word.bold for word in last.words)


def _is_one_row(held: Sequence[Line], rules: Sequence[float], em: float) -> bool:
    top, bottom = held[0].box.middle, held[-1].box.middle
    framed = any(rule < top for rule in rules) and any(rule > bottom for rule in rules)
    full = int(_is_pair(held[0], em))
    listed = _end_of_list(held, em)
    full += sum(_is_pair(line, em) and not _goes_on(line, em) for line in held[listed:])
    touching = all(b.box.top - a.box.bottom < 0.6 * em for a, b in itertools.pairwise(held))
    alike = framed and touching and full <= 1 and len(held) <= _WIDEST_BAND
    remark = any(_REMARK.match(line.words[0].text) for line in held)
    return alike and not remark and not _is_headed(held, em) and not _runs_over(held, em)


def _end_of_list(held: Sequence[Line], em: float) -> int:
    """Return how many lines belong to a response that lists values under one another."""
    first = line_cells(held[0], em)[0]
    count = 1
    for before, line in itertools.pairwise(held if len(first) > 1 else ()):
        more = before.words[-1].text.endswith((",", ";", "/", "+"))
        level = abs(line.box.left - first[-1].left) < em / 2
        if not (more and level):
            break
        count += 1
    return count


def _goes_on(line: Line, em: float) -> bool:
    """Say whether each cell of a line begins within a sentence."""
    return all(cell.text[:1].islower() for cell in line_cells(line, em)[0])


def _is_pair(line: Line, em: float) -> bool:
    """Say whether a line is a challenge and a response by itself, or begins with a bullet."""
    cells = line_cells(line, em)[0]
    text = " ".join(cell.text for cell in cells)
    return len(cells) > 1 or BULLET.match(text) is not None or bool(split_text(text).response)


def _runs_over(held: Sequence[Line], em: float) -> bool:
    """Say whether a line runs past the position where the response begins, as a remark does."""
    made = [line_cells(line, em)[0] for line in held]
    edge = next((cells[1].left for cells in made if len(cells) > 1), None)
    return edge is not None and any(
        cell.left < edge - em and cell.right > edge + em for cells in made for cell in cells
    )


def _is_headed(held: Sequence[Line], em: float) -> bool:
    """Say whether the first line is a heading over an item: short, or in another type size."""
    first, then = line_cells(held[0], em)[0], line_cells(held[1], em)[0]
    if not then or len(first) != 1 or first[0].left > then[0].left + 2 * em:
        return False
    bold = all(word.bold for word in held[0].words) != all(word.bold for word in held[1].words)
    edge = then[1].left if len(then) > 1 else held[1].box.right
    capitals = first[0].text.isupper() and not then[0].text.isupper()
    short = first[0].right - first[0].left < _FILLED * (edge - first[0].left)
    return bold or short or capitals or held[0].box.height > 1.2 * held[1].box.height


def rule_heights(lines: Sequence[Line], page: Page, em: float) -> list[float]:
    """Return the rules that cross a good part of the lines, from top to bottom."""
    left = min(line.box.left for line in lines)
    right = max(line.box.right for line in lines)
    level = [s for s in page.strokes if s.height < 0.5 * em and s.width > 4 * em]
    spans = [(s.middle, s.left, s.right) for s in level]
    for frame in page.frames:
        if frame.width > 4 * em and frame.height > 1.1 * em:
            spans += [(y, frame.left, frame.right) for y in (frame.top, frame.bottom)]
    inside = (
        y for y, start, end in spans
        if min(end, right) - max(start, left) > 0.25 * (right - left)
    )  # fmt: skip
    heights: list[float] = []
    for y in sorted(inside):
        if not heights or y - heights[-1] > 0.4 * em:
            heights.append(y)
    return heights


def _same_band(one: Line, other: Line, rules: Sequence[float]) -> bool:
    return not any(one.box.middle < rule < other.box.middle for rule in rules)


def joined_cells(rows: Sequence[Sequence[Cell]]) -> list[Cell]:
    """Join the cells of lines that form one row: text in the same position is one cell."""
    columns: list[list[Cell]] = []
    for cells in rows:
        for cell in cells:
            for column in columns:
                if min(column[0].right, cell.right) > max(column[0].left, cell.left):
                    column.append(cell)
                    break
            else:
                columns.append([cell])
    columns.sort(key=lambda column: column[0].left)
    return [
        Cell(
            reduce(joined_text, (cell.text for cell in column)),
            min(cell.left for cell in column),
            max(cell.right for cell in column),
            min(cell.sure for cell in column),
        )
        for column in columns
    ]
