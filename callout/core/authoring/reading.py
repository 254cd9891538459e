"""Turns rows into a reading: titles, headings, items, notes and continuations."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.asides import heads_condition, role_of
from callout.core.authoring.collecting import Collector, sentence_case
from callout.core.authoring.guesses import Reading
from callout.core.authoring.page import Cell, Row
from callout.core.authoring.pairs import paired_rows
from callout.core.authoring.table_heads import head_parts, parts_of
from callout.core.formats.draft_text import clean_markdown, completion_words

_NOTE: Final = re.compile(
    r"^\W*(note|notes|caution|cautions|warning|warnings|remark|remarks|nb|n\.b\.)\s*\d?\s*[:.\u2013\u2014-]\s*(.*)$"
    r"|^\W*(NOTE|CAUTION|WARNING|REMARK)S?\s+(?=[A-Za-z])(.+)$"
    r"|^\W*(note|caution|warning)s?\W*$",
    re.IGNORECASE,
)
_PROSE: Final = re.compile(r"(?<![a-z'-])[a-z][a-z'-]* [a-z]")
_SENTENCE: Final = 6
"""Lower-case words that make a line a remark rather than a heading."""
_WRAPPED: Final = 0.3
"""Minimum share of its column that a challenge fills before it continues on the next line."""
_LIST_NAME: Final = re.compile(r"\bcheck ?list\W*$", re.IGNORECASE)
_CONTINUED: Final = re.compile(r"(?<!\W)\W*\b(cont(inued|'?d)?\.?)\W*$", re.IGNORECASE)


def read_rows(
    rows: Sequence[Row], rivals: Mapping[str, frozenset[str]], source: str = ""
) -> Reading:
    """Return the reading of ``rows``; ``rivals`` gives the opposites of a word."""
    rows = paired_rows(rows)
    reader = _Reader(Collector(rivals, source), rows)
    for at, row in enumerate(rows):
        reader.take(row, rows[at + 1] if at + 1 < len(rows) else None)
    reader.finish()
    return reader.out.reading()


class _Reader:
    """Takes rows one by one; what a row is depends on its neighbours."""

    def __init__(self, out: Collector, rows: Sequence[Row]) -> None:
        self.out = out
        self.parts: tuple[str, ...] = ()
        self.response_edge = _response_edges(rows)
        self.in_note = False
        self.pending: Row | None = None

    def take(self, row: Row, following: Row | None) -> None:
        """Take the next row."""
        named = head_parts(row)
        if named:
            self._flush(row)
            self.parts = named
            self.out.leave_out(row, "table-head")
            return
        text = " ".join(cell.text for cell in row.cells)
        note = _NOTE.match(text) if not (len(row.cells) > 1 and row.leader) else None
        call = completion_words(row.origin.text)
        if note:
            self._flush(row)
            self._take_note(note, row)
        elif call:
            self._flush(row)
            self.out.complete(clean_markdown(call).casefold())
            self.in_note = False
        elif len(row.cells) > 1:
            self._take_item(row)
        else:
            self._take_single(row, following)

    def _take_note(self, note: re.Match[str], row: Row) -> None:
        kind = next(word for word in (note[1], note[3], note[5]) if word).casefold()
        said = note[2] or note[4] or ""
        self.in_note = True
        self.out.note(clean_markdown(said), caution=kind[0] in "cw", origin=row.origin)

    def _take_item(self, row: Row) -> None:
        self.in_note = False
        held, self.pending = self.pending, None
        if held is not None:
            if _goes_together(held, row):
                first = row.cells[0]
                joined = Cell(f"{held.cells[0].text} {first.text}", held.cells[0].left, first.right)
                self.out.item(row, parts_of((joined, *row.cells[1:]), self.parts), before=held)
                return
            self._settle(held, row)
        self.out.item(row, parts_of(row.cells, self.parts))

    def _take_single(self, row: Row, following: Row | None) -> None:
        held, self.pending = self.pending, None
        text = row.cells[0].text.strip()
        if not re.search(r"\w", text):
            return
        if held is not None:
            if _goes_on_heading(held, row) and not row.bullet and _is_lower(text):
                self.pending = _joined_rows(held, row)
                return
            self._settle(held, row)
        if self._goes_on_response(row):
            self.out.more_response(row)
        elif self.in_note and _is_tight(row) and not _looks_heading(row):
            self.out.note(clean_markdown(text), caution=None, origin=row.origin)
        elif row.bullet:
            self.pending = row
        elif self._goes_on_challenge(row):
            self.out.more_challenge(row)
        elif _is_prose(row):
            self.out.note(clean_markdown(text), caution=False, origin=row.origin)
        else:
            self.pending = row

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
        if row.bullet or (row.hole and not _looks_heading(row)):
            self.out.item(row, {"challenge": row.cells[0].text})
            return
        bare = _CONTINUED.sub("", clean_markdown(text.rstrip(":")))
        if heads_condition(bare) and self.out.title:
            self.out.condition(bare, row)
        elif role_of(bare) is not None:
            self.out.leave_out(row, "crew-mark")
        elif bare:
            self.out.heading(sentence_case(bare), row)

    def _goes_on_response(self, row: Row) -> bool:
        if self.out.is_open and row.indent > 1 and row.gap < 1.2 and not row.bullet:
            return True
        edge = self.response_edge.get(row.origin.page, [])
        left = row.cells[0].left
        box = row.origin.box
        return bool(
            box
            and self.out.has_item
            and row.gap < 0.9
            and not row.banner
            and any(abs(left - at) < 0.5 * box.height for at in edge)
            and row.indent > 4
        )

    def _goes_on_challenge(self, row: Row) -> bool:
        text = row.cells[0].text
        if self.out.is_bracketed:
            return True
        return bool(
            row.origin.box
            and self.out.has_item
            and _is_tight(row)
            and row.indent > 0.5
            and row.indent < 6
            and _is_lower(text)
            and self.out.may_go_on
        )


def _response_edges(rows: Iterable[Row]) -> dict[int, list[float]]:
    """Return for each page where responses begin."""
    edges: dict[int, list[float]] = {}
    for row in rows:
        if len(row.cells) == 2 and row.cells[1].left > row.cells[0].left:
            edges.setdefault(row.origin.page, []).append(row.cells[1].left)
    return edges


def _is_tight(row: Row) -> bool:
    return row.gap < 0.75


def _goes_on_heading(held: Row, row: Row) -> bool:
    ended = _LIST_NAME.search(held.cells[0].text) is not None
    return not ended and _is_tight(row) and _same_style(held, row)


def _is_lower(text: str) -> bool:
    return text[:1].islower() or text[:1] in "(&/+" or text.isupper()


def _same_style(one: Row, other: Row) -> bool:
    return one.bold == other.bold and abs(one.height - other.height) < 0.25


def _goes_together(held: Row, row: Row) -> bool:
    """Say whether a challenge covers two lines: the first is long, or the second is indented."""
    if not held.origin.box or held.banner or not _same_style(held, row) or row.gap >= 0.75:
        return held.bullet and not row.bullet and row.indent > held.indent + 0.5
    height = max(held.origin.box.height, 0.1)
    long = (held.cells[0].right - held.cells[0].left) / height > _WRAPPED * max(held.room, 1.0)
    set_in = row.indent > held.indent + 0.6 and not row.bullet
    lower = row.cells[0].text[:1].islower() or row.cells[0].text[:1] in "(&"
    told = held.cells[0].text
    if told.isupper() and not row.cells[0].text.isupper():
        return False
    open_bracket = told.count("(") > told.count(")")
    return open_bracket or (long and (set_in or lower) and not told.endswith(":"))


def _joined_rows(held: Row, row: Row) -> Row:
    first = held.cells[0]
    cell = Cell(f"{first.text} {row.cells[0].text}", first.left, row.cells[0].right)
    return replace(held, cells=(cell,))


def _looks_heading(row: Row) -> bool:
    return row.heading or row.bold or row.banner or row.height > 1.15


def _is_prose(row: Row) -> bool:
    text = row.cells[0].text
    small = len(re.findall(r"\b[a-z]+\b", text))
    ends = text.rstrip().endswith(".")
    return (
        not row.heading
        and (small >= _SENTENCE or (ends and small >= 3))
        and bool(_PROSE.search(text))
    )
