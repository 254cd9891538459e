"""Weighs several readings of a page, and keeps the one that explains most of its lines.

The usual reading is kept unless another one is clearly better: it makes more lines complete items
whose words sound like a challenge and its response.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Final

from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import Doubt, LeftOut, Reading
from callout.core.authoring.likely import pair_likeness, response_likeness
from callout.core.authoring.lines import word_lines
from callout.core.authoring.look_ups import is_speed, speed_tables
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import divided_row, page_rows, page_rows_cut
from callout.core.authoring.ruled import has_box_beside
from callout.core.paper.blanks import BLANK, letter_height
from callout.core.paper.page import Origin, Page, Row
from callout.core.weighing.counted import in_counted_order
from callout.core.weighing.form_cells import form_rows
from callout.core.weighing.lines import once, without_counts
from callout.core.weighing.orders import divided_by_type
from callout.core.weighing.table_shape import with_heads
from callout.core.weighing.ticks import without_ticks
from callout.core.weighing.titles import titled
from callout.core.weighing.two_lists import holds_two, two_lists_apart
from callout.core.weighing.ways import ways

_GAIN: Final = 1.6
"""By how many items another reading must be better."""
_GAIN_OF_COLUMNS: Final = 1.2
"""The same where only the columns are divided in another way."""
_GAIN_OF_BOXES: Final = 0.5
"""The same where a box is drawn beside the list."""
_SHARE: Final = 0.15
"""And by which share of the lines."""
_NAMED: Final = 0.3
"""What a challenge loses that has a word which nearly all have: it is no part of its name."""
_TYPED: Final = 0.1
"""What it counts that a line is divided where its type changes."""
_DIVIDED: Final = 0.45
"""What an item loses that shares its line with another: half a line is sooner taken for an item."""
_LOOKED_UP: Final = 0.9
"""What a row of a table of speeds counts: it is understood, and no item."""
_ASTRAY: Final = 0.3
"""What a line loses with a number that counts the line beside it."""
_TWICE: Final = 0.7
"""What a line loses that is two items by its words, taken for one."""
_COUNT: Final = re.compile(r"\d{1,2}(?:\.\d{1,2})?[.)]?")
_POOR: Final = 0.28
"""Weight for each line below which a page may be misread: 2 of 100 well-read ones have less."""
_FEWEST, _MOSTLY = 4, 0.7
_ALONE: Final = 1.0
_SURELY: Final = 0.8
_SQUEEZED: Final = -0.3
"""Clear space above a blank between two lines, in letter heights: it is a piece of a rule."""
_BARE: Final = 0.35
"""What a line counts that is in no item."""

_MOST_ROWS: Final = 250
"""A page of more lines is read in the usual way only."""

Rivals = Mapping[str, frozenset[str]]


def best_rows(pages: Sequence[Page], rivals: Rivals) -> list[Row]:
    """Return the rows of ``pages``, divided as explains each page best."""
    return [row for page in pages for row in _page_rows(page, rivals)]


def poor_pages(pages: Sequence[Page], rows: Sequence[Row], rivals: Rivals) -> frozenset[int]:
    """Return the numbers of the pages that ``rows`` explain so poorly that they may be misread."""
    return frozenset(
        page.number
        for page in pages
        if (own := [row for row in rows if row.origin.page == page.number])
        and _is_poor(weight(own, page, rivals, _levels(page)), page)
    )


def _is_poor(found: float, page: Page) -> bool:
    return found < _POOR * _levels(page)


def _page_rows(page: Page, rivals: Rivals) -> list[Row]:
    usual = _based(page_rows(page))
    if not usual or len(usual) > _MOST_ROWS:
        return usual
    levels = _levels(page)
    score = weight(usual, page, rivals, levels)
    least = score + max(_GAIN, _SHARE * len(usual))
    form = form_rows(page)
    boxed = has_box_beside(page, letter_height(page.words))
    least_of_columns = score + (_GAIN_OF_BOXES if boxed else _GAIN_OF_COLUMNS)
    best, reached = usual, score
    for base in (usual, *([form] if form else ()), *map(_based, page_rows_cut(page))):
        found = score if base is usual else weight(base, page, rivals, levels)
        columns = best is usual and found > least_of_columns
        if columns or found > least:
            best, least, reached = base, max(least, found + 0.01), found
        for made in ways(base):
            found = weight(made, page, rivals, levels)
            if found > least:
                best, least, reached = made, found + 0.01, found
    if _is_poor(reached, page):
        for base in map(_based, page_rows_cut(page, harder=True)):
            found = weight(base, page, rivals, levels)
            if found > least:
                best, least = base, found + 0.01
    return in_counted_order(titled(two_lists_apart(once(best))))


def _based(rows: Sequence[Row]) -> list[Row]:
    """Return rows without what counts them, and with the headings of their tables."""
    plain = divided_by_type(without_counts(rows))
    return [_divided(row) for row in without_ticks(with_heads(plain))]


def _divided(row: Row) -> Row:
    """Return a row divided at its marks, if a tick beside it had kept it from being so."""
    return divided_row(row) if len(row.cells) == 1 and not row.heading else row


def dropped_names(rows: Sequence[Row]) -> list[LeftOut]:
    """Return what counted or named the lines of each page, such as "Step 1" and "Reply:"."""
    pages: dict[int, list[str]] = {}
    for row in rows:
        if row.dropped:
            pages.setdefault(row.origin.page, []).append(row.dropped)
    return [LeftOut(Origin(page, 0, " ".join(names)), "count") for page, names in pages.items()]


def weight(rows: Sequence[Row], page: Page, rivals: Rivals, levels: int) -> float:
    """Return how well ``rows`` explain a page: how many likely items there are.

    levels: how many lines it has, whatever its columns.
    """
    kept, _ = leave_out_furniture((page,), list(rows))
    reading = read_rows(kept, rivals)
    named = _NAMED * _same_words([guess.item.challenge for guess in reading.guesses])
    typed = _TYPED * sum(map(_agrees, kept))
    more = _DIVIDED * max(0, len(reading.guesses) - levels)
    tables = speed_tables(kept)
    rest = [row for row in kept if id(row) not in tables]
    looked = _LOOKED_UP * len(tables)
    items = sum(_item_weight(reading))
    astray = _ASTRAY * sum(map(_ends_in_count, kept)) + _TWICE * sum(map(holds_two, kept))
    return items + typed + looked - named - more - astray - _lines_left(rest, reading)


def _ends_in_count(row: Row) -> bool:
    """Say whether a line is nothing but a number that counts, or has one behind its response."""
    last = len(row.cells) - 1
    return last != 1 and _COUNT.fullmatch(row.cells[last].text) is not None


def _levels(page: Page) -> int:
    """Return how many lines a page has, whatever its columns."""
    return len(word_lines(page.words, letter_height(page.words)))


def _agrees(row: Row) -> int:
    """Return 1 if a line is divided where its type changes, -1 if it is divided elsewhere."""
    if not row.tail or len(row.cells) != 2 or row.cells[0].left != row.cells[1].left:
        return 0
    said, tail = (re.sub(r"\W+", "", text) for text in (row.cells[1].text, row.tail))
    return 1 if said == tail else -1


def _same_words(challenges: Sequence[str]) -> int:
    """Return how many challenges begin, or end, with a word that most of them have there."""
    words = [challenge.casefold().split() for challenge in challenges]
    counted = 0
    for at in (0, -1):
        found = Counter(some[at] for some in words if len(some) > 1).most_common(1)
        if found and found[0][1] >= max(_FEWEST, _MOSTLY * len(words)):
            counted += found[0][1]
    return counted


def _item_weight(reading: Reading) -> list[float]:
    found = []
    met: set[tuple[str, str, str]] = set()
    for guess in reading.guesses:
        likely = pair_likeness(guess.item.challenge, guess.raw)
        if is_speed(guess.item.challenge, guess.raw):
            likely = min(likely, _BARE)
        asked = guess.section, guess.item.challenge.casefold(), guess.item.when
        if asked in met:  # nobody asks for the same thing on every line
            likely = min(likely, 0.0)
        met.add(asked)
        found.append(likely - (0.2 if Doubt.NO_RESPONSE in guess.doubts else 0.0))
    return found


def _lines_left(rows: Sequence[Row], reading: Reading) -> float:
    """Return what the lines count that became headings, notes or nothing.

    A state or a blank without its challenge is worse than a heading.
    """
    told = "\n".join(guess.origin.text for guess in reading.guesses)
    left = [r.origin.text for r in rows if r.origin.text not in told and not r.heading]
    alone = sum(BLANK in text or response_likeness(text) > _SURELY for text in left)
    alone -= sum(row.origin.text == BLANK and row.gap < _SQUEEZED for row in rows)
    return _BARE * len(left) + (_ALONE - _BARE) * alone
