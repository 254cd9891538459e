"""Forms whose cells hold a caption and room to write: each is an item with a value.

A caption stands in the upper part of its cell, the unit in a corner, or boxes to tick under it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cmp_to_key
from typing import Final

from callout.core.authoring.likely import challenge_likeness, pair_likeness, response_likeness
from callout.core.authoring.lines import word_lines
from callout.core.authoring.look_ups import is_of_form
from callout.core.authoring.quantities import is_label, kind_of_words, unit_end
from callout.core.authoring.rows import page_rows
from callout.core.formats.form_fields import is_caption
from callout.core.paper.blanks import BLANK, letter_height
from callout.core.paper.page import Box, Cell, Origin, Page, Row, Word

_FEWEST: Final = 6
"""Cells with a caption, before a page is a form."""
_ROOM: Final = 2.2
"""Least height of a cell in which somebody can write, in letter heights."""
_MOST_PAIRS: Final = 500_000
"""Words and rules of a page, compared with one another: more is no form."""
_MOST_WORDS: Final = 4
_SIGNS: Final = re.compile(r"[\s/|:,]+")
_BOXES: Final = "\u2610\u2611\u2612\u25a1\u25a2\u2751"
_NEAR: Final = 0.6
_SURELY: Final = 0.85
_LETTERS: Final = re.compile(r"[^\W\d_]")


@dataclass(frozen=True, slots=True)
class _Captioned:
    """A cell, what it asks for, and the room for it."""

    box: Box
    name: str
    value: str
    words: tuple[Word, ...]


def form_rows(page: Page) -> list[Row]:
    """Return the rows of a form; empty if few cells hold a caption and room to write."""
    if len(page.words) * (len(page.strokes) + len(page.frames)) > _MOST_PAIRS:
        return []
    em = letter_height(page.words)
    cells = list(_cells(page, em))
    found = [one for box, words in cells if (one := _captioned(box, words, em)) is not None]
    if len(found) < _FEWEST or 2 * len(found) < len(cells):
        return []
    found += _like_others(found, cells, em)
    taken = {id(word) for one in found for word in one.words}
    rest = tuple(word for word in page.words if id(word) not in taken)
    others = page_rows(replace(page, words=rest, strokes=(), frames=())) if rest else []
    return _in_order(found, others, page, em)


def _cells(page: Page, em: float) -> Iterator[tuple[Box, list[Word]]]:
    """Yield each cell between rules, and the words in it."""
    level = [s for s in page.strokes if s.height < 0.5 * em and s.width > em]
    upright = [s for s in page.strokes if s.width < 0.5 * em and s.height > em]
    for f in (f for f in page.frames if f.width > 2 * em and f.height > 1.1 * em):
        level += [Box(f.left, y, f.right, y) for y in (f.top, f.bottom)]
        upright += [Box(x, f.top, x, f.bottom) for x in (f.left, f.right)]
    held: dict[tuple[int, ...], tuple[Box, list[Word]]] = {}
    for word in page.words:
        box = _cell_of(word, level, upright, em)
        if box is not None:
            key = tuple(round(edge / em) for edge in (box.left, box.top, box.right, box.bottom))
            held.setdefault(key, (box, []))[1].append(word)
    yield from held.values()


def _cell_of(word: Word, level: Iterable[Box], upright: Iterable[Box], em: float) -> Box | None:
    x, y = (word.box.left + word.box.right) / 2, word.box.middle
    near = em / 3
    over = [r.middle for r in level if r.left - near < x < r.right + near]
    beside = [(r.left + r.right) / 2 for r in upright if r.top - near < y < r.bottom + near]
    tops, bottoms = [at for at in over if at < y], [at for at in over if at > y]
    lefts, rights = [at for at in beside if at < x], [at for at in beside if at > x]
    if not (tops and bottoms and lefts and rights):
        return None
    return Box(max(lefts), max(tops), min(rights), min(bottoms))


def _captioned(box: Box, words: Sequence[Word], em: float) -> _Captioned | None:
    lines = word_lines(words, em)
    first = [word.text for word in lines[0].words]
    while len(first) > 1 and unit_end(first[-1]) == len(first[-1]):
        first.pop()  # the unit stands on the line of the caption
    name = " ".join(first).rstrip(" :")
    rest = [word.text for line in lines for word in line.words][len(first) :]
    if not _names_value(name) or lines[0].box.middle > (2 * box.bottom + box.top) / 3:
        return None
    value = " ".join(rest)
    open_ = BLANK in value or any(sign in value for sign in _BOXES)
    bare = _SIGNS.sub("", value)
    if not open_ and (unit_end(bare) < len(bare) or box.height < _ROOM * em):
        return None
    return _Captioned(box, name, value if open_ else f"{BLANK} {value}".strip(), tuple(words))


def _like_others(
    found: Sequence[_Captioned], cells: Sequence[tuple[Box, list[Word]]], em: float
) -> list[_Captioned]:
    """Return the cells beside those found that hold two lines, a caption and a value, as they do.

    Among so many a caption may be any few words, and the value may be printed: "DRY or WET".
    """
    known = {id(word) for one in found for word in one.words}
    made: list[_Captioned] = []
    for box, words in cells:
        lines = word_lines(words, em)
        beside = any(_touch(box, one.box, em) and _is_as_high(box, one.box) for one in found)
        if id(words[0]) in known or len(lines) != 2 or not beside:
            continue
        name, value = (" ".join(word.text for word in line.words).rstrip(" :") for line in lines)
        few = len(name.split()) <= _MOST_WORDS and "_" not in name
        told = BLANK in value or response_likeness(value) > _SURELY
        if few and told and _LETTERS.search(name):
            made.append(_Captioned(box, name, value, tuple(words)))
    return made


def _is_as_high(one: Box, other: Box) -> bool:
    return abs(one.height - other.height) < other.height / 4


def _names_value(name: str) -> bool:
    plain = len(name.split()) <= _MOST_WORDS and "_" not in name
    known = bool(kind_of_words(name)) or is_label(name) or is_caption(name)
    named = challenge_likeness(name) > 0.5 and response_likeness(name) < 0.5
    return plain and _LETTERS.search(name) is not None and (known or named)


def _in_order(
    found: Sequence[_Captioned], others: Sequence[Row], page: Page, em: float
) -> list[Row]:
    """Return rows table by table, what stands over a table before its cells."""
    blocks = _blocks(found, em)
    before: list[Row] = []
    after: list[Row] = []
    over: dict[int, list[Row]] = {}
    for row in (part for one in others for part in _apart(one)):
        box = row.origin.box
        heads = [n for n, (place, _) in enumerate(blocks) if box and _heads(box, place, em)]
        at = heads[0] if heads else None
        if at is not None:
            over.setdefault(at, []).append(row)
        else:
            top = min(place.top for place, _ in blocks)
            (before if box is not None and box.middle < top else after).append(row)
    rows = before
    for at, (_, cells) in enumerate(blocks):
        rows += over.get(at, [])
        rows += [_row(cell, page, len(rows) + number) for number, cell in enumerate(cells, 1)]
    return rows + after


def _apart(row: Row) -> Iterator[Row]:
    """Yield each part of a line by itself: names of tables stand side by side; items stay whole."""
    whole = row.bullet or is_of_form(row) or _is_item(row)
    if len(row.cells) < 2 or row.origin.box is None or whole:
        yield row
        return
    for cell in row.cells:
        box = replace(row.origin.box, left=cell.left, right=cell.right)
        yield replace(row, cells=(cell,), origin=replace(row.origin, text=cell.text, box=box))


def _is_item(row: Row) -> bool:
    """Say whether a line is a challenge and its response, not the names of two tables."""
    told = len(row.cells) == 2 and pair_likeness(row.cells[0].text, row.cells[1].text) > _SURELY
    return told and row.leader


def _heads(box: Box, place: Box, em: float) -> bool:
    middle = (box.left + box.right) / 2
    within = place.left - em < middle < place.right + em and box.right < place.right + 2 * em
    return within and place.top - 3 * em < box.middle < place.bottom and box.left > place.left - em


def _blocks(found: Sequence[_Captioned], em: float) -> list[tuple[Box, list[_Captioned]]]:
    """Return cells that touch together, with the place of all of them, in reading order."""
    blocks: list[list[_Captioned]] = []
    for one in found:
        near = [b for b in blocks if any(_touch(one.box, other.box, em) for other in b)]
        blocks = [b for b in blocks if b not in near] + [[one, *(c for b in near for c in b)]]
    for block in blocks:
        block.sort(key=lambda cell: (round(cell.box.top / em), cell.box.left))
    placed = [(Box.around(cell.box for cell in block), block) for block in blocks]
    return sorted(placed, key=cmp_to_key(_before))


def _touch(one: Box, other: Box, em: float) -> bool:
    return one.across(other) > -_NEAR * em and one.down(other) > -_NEAR * em


_Block = tuple[Box, list[_Captioned]]


def _before(first: _Block, second: _Block) -> int:
    """Say which of two tables comes first: that on the left if they are level."""
    one, other = first[0], second[0]
    ahead = one.left < other.left if one.down(other) > 0 else one.top < other.top
    return -1 if ahead else 1


def _row(cell: _Captioned, page: Page, number: int) -> Row:
    box = Box.around(word.box for word in cell.words)
    sure = min(word.sure for word in cell.words)
    cells = (
        Cell(cell.name, box.left, box.right, sure),
        Cell(cell.value, box.left, box.right, sure),
    )
    origin = Origin(page.number, number, f"{cell.name} {cell.value}", box)
    return Row(cells, origin, leader=True, bullet=True, gap=0.5)
