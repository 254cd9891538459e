"""Turns pages into rows: columns, lines, cells, and what the position of a line says."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice, pairwise
from statistics import median
from typing import Final

from callout.core.authoring.asides import role_of
from callout.core.authoring.columns import Region, cut_regions, read_regions
from callout.core.authoring.continued import with_continued
from callout.core.authoring.holes import lines_with_holes
from callout.core.authoring.led_lines import (
    dotted_blanks,
    without_led_lines,
    without_led_slashes,
)
from callout.core.authoring.lines import (
    boxes_apart,
    bracketed_blanks,
    common_edges,
    line_cells,
    word_lines,
)
from callout.core.authoring.merged import merged_cells
from callout.core.authoring.pairs import paired_bands, stacked_pairs
from callout.core.authoring.rearranged import (
    rearranged,
    rejoin_parted,
    with_lettered_headings,
    without_page_count,
)
from callout.core.authoring.ruled import joined_cells, ruled_bands, ruled_words
from callout.core.authoring.side_by_side import blanks_apart
from callout.core.authoring.splitting import BULLET, TICK, split_text, without_leaders
from callout.core.paper.bands import with_bands
from callout.core.paper.blanks import blank_words, letter_height
from callout.core.paper.drawn_boxes import tick_words
from callout.core.paper.misread import with_circles, with_units
from callout.core.paper.page import Box, Cell, Origin, Page, Row, Word
from callout.core.paper.struck import without_struck

_COUNT: Final = re.compile(r"\(?\d{1,3}[.):]?|\(?(?:[A-Za-z]|[ivx]{2,4})[.)]")
"""A cell that only counts."""
_LEVEL: Final = 0.3
"""How near a line begins to where responses do, to go on with one."""


def page_rows(page: Page) -> list[Row]:
    """Return the rows of ``page`` in reading order."""
    em = letter_height(page.words)
    return _rows_of(read_regions(_whole(page, em), em), page, em) if page.words else []


def page_rows_cut(page: Page, *, harder: bool = False) -> Iterator[list[Row]]:
    """Yield the rows of ``page`` without columns, and with each division into columns.

    harder: divide it in more ways.
    """
    em = letter_height(page.words)
    whole = _whole(page, em)
    for regions in cut_regions(whole, em, harder=harder) if whole else ():
        yield _rows_of(regions, page, em)


def _whole(page: Page, em: float) -> tuple[Word, ...]:
    read = without_struck(page.words, page.strokes, em)
    words = (*read, *blank_words(page), *tick_words(page, em))
    words = tuple(with_units(with_circles([line.words for line in word_lines(words, em)])))
    led = without_led_lines([line.words for line in word_lines(words, em)], em)
    led = without_led_slashes([line.words for line in word_lines(led, em)])
    led = dotted_blanks([line.words for line in word_lines(led, em)], em)
    whole = tuple(bracketed_blanks(merged_cells(tuple(led), page, em), em))
    return tuple(with_bands(tuple(ruled_words(whole, page, em)), page, em))


def _rows_of(regions: Iterable[Region], page: Page, em: float) -> list[Row]:
    parts: list[list[Row]] = []
    for region in _with_banners(regions):
        before = sum(map(len, parts))
        parts.append(with_continued(list(_region_rows(region, page, em, before)), em))
    rejoin_parted(parts, em)
    told = with_lettered_headings([row for part in parts for row in part])
    whole = iter(without_page_count(told))
    counted = [list(islice(whole, len(part))) for part in parts]
    return [row for part in counted for row in blanks_apart(rearranged(part))]


def _with_banners(regions: Iterable[Region]) -> Iterator[Region]:
    """Join consecutive banners: lines across the page may be a list in one column."""
    held: list[Region] = []
    for region in regions:
        if region.banner:
            held.append(region)
            continue
        yield from _joined_banners(held)
        held = []
        yield region
    yield from _joined_banners(held)


def _joined_banners(held: Sequence[Region]) -> Iterator[Region]:
    if held:
        yield Region(tuple(word for region in held for word in region.words), banner=True)


def _region_rows(region: Region, page: Page, em: float, before: int) -> Iterator[Row]:
    lines = [part for line in word_lines(region.words, em) for part in boxes_apart(line)]
    edges = common_edges(lines, em)
    left = min(line.box.left for line in lines)
    room = max(line.box.right for line in lines) - left
    holes = {id(lines[at]) for at in lines_with_holes(lines, page, em)}
    last = 0.0
    number = before
    pairs = stacked_pairs(lines, page, em)
    stacked = {id(lines[at]): pair for at, pair in pairs.items()}
    bands = paired_bands(lines, pairs) if pairs else ruled_bands(lines, page, em)
    for band in bands:
        made = [line_cells(line, em, edges) for line in band]
        boxes = [line.box for line in band]
        pair = stacked.get(id(band[0]))
        cells = list(pair) if pair else joined_cells([cells for cells, _ in made])
        number += 1
        gap = (boxes[0].top - last) / em if last else 9.0
        last = boxes[-1].bottom
        if not cells:
            continue
        words = [word for line in band for word in line.words]
        box = Box.around(boxes)
        row = Row(
            tuple(cells),
            Origin(page.number, number, " ".join(word.text for word in words), box),
            indent=(box.left - left) / em,
            height=median(word.box.height for word in words) / em,
            gap=gap,
            bold=all(word.bold for word in words),
            leader=any(led for _, led in made),
            banner=region.banner,
            room=room / em,
            banded=all(word.banded for word in words),
            hole=any(id(line) in holes for line in band),
            tail=_tail(words),
        )
        alone = len(cells) == 1 and any(abs(cells[0].left - at) < _LEVEL * em for at in edges)
        alone = alone and not BULLET.match(cells[0].text)
        yield row if alone else _placed(divided_row(row), words)


def _tail(words: Sequence[Word]) -> str:
    """Return the end of a line that is set in another type than its beginning."""
    named = [at for at, word in enumerate(words) if re.search(r"[^\W\d_]{2}", word.text)]
    kinds = [words[at].bold for at in range(named[0], len(words))] if named else []
    turns = [at for at, (one, two) in enumerate(pairwise(kinds)) if one != two]
    if len(turns) != 1:
        return ""
    return " ".join(word.text for word in words[named[0] + turns[0] + 1 :])


def _placed(row: Row, words: Sequence[Word]) -> Row:
    """Return a row that a mark divides, with the place where its response begins."""
    if len(row.cells) != 2 or row.cells[0].left != row.cells[1].left:
        return row
    said = row.cells[1].text
    for at, word in enumerate(words):
        rest = " ".join(one.text for one in words[at:])
        if rest.startswith(said) or (said.startswith(word.text) and said.startswith(rest[:20])):
            return replace(row, response_at=word.box.left)
    return row


def divided_row(row: Row) -> Row:
    """Return ``row`` without bullets and leaders; a single cell is divided at the marks in it."""
    row = replace(row, cells=tuple(replace(c, text=TICK.sub("", c.text)) for c in row.cells))
    first = row.cells[0]
    bare = BULLET.sub("", first.text)
    bullet = bare != first.text
    cells = list(row.cells)
    if not without_leaders(bare) and len(cells) > 1:
        cells, bullet = cells[1:], True
    else:
        cells[0] = replace(first, text=bare)
    marked = role_of(cells[0].text) is not None or _COUNT.fullmatch(cells[0].text.strip())
    if len(cells) == 2 and marked:  # "P1 | 3. Flaps - up"
        rest = BULLET.sub("", cells[1].text)
        halves = split_text(rest)
        if halves.response:
            cells = [cells[0], replace(cells[1], text=halves.challenge)]
            cells.append(replace(cells[1], text=halves.response))
    elif len(cells) > 2 and role_of(cells[0].text) is not None:
        cells[1] = replace(cells[1], text=BULLET.sub("", cells[1].text) or cells[1].text)
    if len(cells) == 1:
        halves = split_text(cells[0].text)
        made = [replace(cells[0], text=halves.challenge)]
        after = split_text(halves.response)
        if role_of(halves.challenge) is not None and after.response:  # "PM: Flaps - 5"
            made.append(replace(cells[0], text=after.challenge))
            halves = after
        if halves.response:
            made.append(replace(cells[0], text=halves.response))
        return replace(
            row,
            cells=tuple(made),
            bullet=row.bullet or bullet,
            leader=row.leader or halves.led,
            line=halves.line,
        )
    kept = (replace(cell, text=without_leaders(cell.text)) for cell in cells)
    found = tuple(cell for cell in kept if cell.text)
    return replace(row, cells=found or (Cell(""),), bullet=row.bullet or bullet)
