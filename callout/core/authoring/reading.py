"""Turns rows into a reading: titles, headings, items, notes and continuations."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.asides import ends_condition, heads_condition, role_of
from callout.core.authoring.collecting import Collector, sentence_case
from callout.core.authoring.guesses import Reading
from callout.core.authoring.look_ups import is_of_form, is_purpose, is_speeds, speed_tables
from callout.core.authoring.neighbours import Neighbours
from callout.core.authoring.pairs import paired_rows
from callout.core.authoring.row_signs import (
    NOTE,
    goes_on_heading,
    goes_together,
    heads_set_in,
    heads_steps,
    is_beside,
    is_branch,
    is_condition_line,
    is_item_row,
    is_lower,
    is_prose,
    is_sentence,
    is_tight,
    is_told,
    joined_rows,
    looks_heading,
    marked_rows,
    stands_out,
)
from callout.core.authoring.seat_marks import with_seats
from callout.core.authoring.table_heads import Heads, heads_of, heads_own_list, parts_of
from callout.core.formats.draft_text import clean_markdown, completion_words
from callout.core.paper.page import Cell, Row, joined_text

_SET_IN: Final = 1.0
"""How much farther right items begin that stand under a condition alone."""
_CONTINUED: Final = re.compile(r"(?<!\W)\W*\b(cont(inued|'?d)?\.?)\W*$", re.IGNORECASE)


def read_rows(
    rows: Sequence[Row], rivals: Mapping[str, frozenset[str]], source: str = ""
) -> Reading:
    """Return the reading of ``rows``; ``rivals`` gives the opposites of a word."""
    rows = with_seats(marked_rows(paired_rows(rows)))
    reader = _Reader(Collector(rivals, source), rows)
    for at, row in enumerate(rows):
        reader.take(row, rows[at + 1] if at + 1 < len(rows) else None)
    reader.finish()
    return reader.out.reading()


class _Reader:
    """Takes rows one by one; what a row is depends on its neighbours."""

    def __init__(self, out: Collector, rows: Sequence[Row]) -> None:
        self.out = out
        self.parts = Heads()
        self.around = Neighbours(out, rows)
        self.in_note = False
        self.pending: Row | None = None
        self.condition: Row | None = None
        self.rows = rows
        self.looked_up = speed_tables(rows)
        self.places = {id(row): at for at, row in enumerate(rows)}
        self.set_in = False
        self.phase = ""

    def take(self, row: Row, following: Row | None) -> None:
        """Take the next row."""
        named = heads_of(row)
        if named.names:
            self._flush(row)
            self.parts = named
            if heads_own_list(row):
                self._heading(clean_markdown(row.cells[0].text), row)
            self.out.leave_out(row, "table-head")
            return
        text = " ".join(cell.text for cell in row.cells)
        note = None if is_item_row(row) else NOTE.match(text)
        call = completion_words(row.origin.text)
        if note:
            self._flush(row)
            self._take_note(note, row)
        elif call:
            self._flush(row)
            self.out.complete(clean_markdown(call).casefold())
            self.in_note = False
        elif is_branch(row) or is_told(row):
            self._flush(row)
            self.out.note(clean_markdown(row.origin.text), caution=False, origin=row.origin)
        elif self._is_about(row):
            self._flush(row)
            self.out.leave_out(row, "about-list")
        elif len(row.cells) > 1 and self.pending is None and self.around.goes_on_value(row):
            self.out.add_to("response", replace(row, cells=(replace(row.cells[0], text=text),)))
        elif len(row.cells) > 1:
            self._take_item(row, following)
        else:
            self._take_single(row, following)

    def _is_about(self, row: Row) -> bool:
        """Say whether a line is about the list, or to look up or fill in: no item."""
        purpose = not self.out.has_item and is_purpose(row)
        purpose = purpose or id(row) in self.looked_up
        return (
            purpose
            or id(row) in self.looked_up
            or is_speeds(row)
            or is_of_form(row)
            or self.out.is_call(row.origin.text)
        )

    def _take_note(self, note: re.Match[str], row: Row) -> None:
        kind = next(word for word in (note[1], note[3], note[5]) if word).casefold()
        said = note[2] or note[4] or ""
        self.in_note = True
        self.out.note(clean_markdown(said), caution=kind[0] in "cw", origin=row.origin)

    def _take_item(self, row: Row, following: Row | None) -> None:
        self.in_note = False
        held, self.pending = self.pending, None
        if held is not None:
            told = clean_markdown(held.cells[0].text.rstrip(":"))
            begins = goes_together(held, row) or self.around.is_plain_start(held, row)
            alone = is_beside(held, row) or heads_set_in(held, row, following)
            alone = alone or (row.bullet and not held.bullet)
            if begins and not heads_condition(told) and not alone:
                one, first = held.cells[0], row.cells[0]
                joined = Cell(joined_text(one.text, first.text), one.left, first.right)
                self._put_item(row, (joined, *row.cells[1:]), held)
                return
            self._settle(held, row)
        self._put_item(row, row.cells)

    def _put_item(self, row: Row, cells: Sequence[Cell], before: Row | None = None) -> None:
        """Collect an item; what a table says of its phase, or its place, may end a condition."""
        if self.condition is not None:
            self.set_in = self.set_in or row.indent > self.condition.indent + _SET_IN
            if self.set_in and row.indent < self.condition.indent + _SET_IN:
                self._under(row)
        parts = parts_of(cells, self.parts)
        if parts.get("section", self.phase) != self.phase:
            self.phase = parts["section"]
            self.condition = None
            self.out.section_heading(sentence_case(clean_markdown(self.phase)))
        self.out.item(row, parts, before=before)

    def _under(self, row: Row, said: str = "") -> None:
        """Put what follows under a condition, or under none."""
        self.condition, self.set_in = (row if said else None), False
        self.out.condition(said, row)

    def _heading(self, text: str, row: Row) -> None:
        self.condition = None
        at = self.places.get(id(row), len(self.rows))
        self.parts = self.parts if self.parts.hold(self.rows[at + 1 :]) else Heads()
        self.out.heading(sentence_case(text), row)

    def _take_single(self, row: Row, following: Row | None) -> None:
        held, self.pending = self.pending, None
        text = row.cells[0].text.strip()
        if not re.search(r"\w", text):
            return
        if held is not None:
            if goes_on_heading(held, row) and not row.bullet and is_lower(text):
                self.pending = joined_rows(held, row)
                return
            self._settle(held, row)
        if is_condition_line(row):
            self.pending = row
        elif self._is_remark(row):
            caution = None if self.in_note else False
            self.out.note(clean_markdown(text), caution=caution, origin=row.origin)
        elif not self.in_note and self.around.goes_on_response(row):
            self.out.add_to("response", row)
        elif row.bullet:
            self.pending = row
        elif self.around.goes_on_challenge(row) and not is_sentence(row):
            self.out.add_to("challenge", row)
        elif is_prose(row):
            self.out.note(clean_markdown(text), caution=False, origin=row.origin)
            self.in_note = True
        else:
            self.pending = row

    def _is_remark(self, row: Row) -> bool:
        more = self.in_note and is_tight(row) and not looks_heading(row)
        return more or self.around.is_hint(row)

    def _flush(self, following: Row | None) -> None:
        held, self.pending = self.pending, None
        if held is not None:
            self._settle(held, following)

    def finish(self) -> None:
        """Settle what was held back."""
        self._flush(None)

    def _settle(self, row: Row, following: Row | None) -> None:
        """Decide what a single cell is, now that the next row is known."""
        self.in_note = False
        text = row.cells[0].text.strip()
        whole = heads_condition(clean_markdown(text.rstrip(":"))) and self.out.has_title
        if heads_steps(row, following) and whole:
            self._under(row, clean_markdown(text.rstrip(":")))
            return
        if heads_steps(row, following):
            self._heading(clean_markdown(text.rstrip(":")), row)
            return
        if self.condition is not None and ends_condition(clean_markdown(text)):
            self._under(row)
            self.out.leave_out(row, "every-flight")
            return
        between = self.around.is_between_items(row, following) and not heads_condition(text)
        between = between and not row.origin.text.rstrip().endswith(":")
        step = (row.bullet or row.leader) and not stands_out(row, following)
        if between or step or (row.hole and not looks_heading(row)):
            self.out.item(row, {"challenge": row.cells[0].text})
            return
        bare = _CONTINUED.sub("", clean_markdown(text.rstrip(":")))
        if heads_condition(bare) and (self.out.has_title or self.out.has_item):
            self._under(row, bare)
        elif role_of(bare) is not None:
            self.out.leave_out(row, "crew-mark")
        elif bare:
            self._heading(bare, row)
