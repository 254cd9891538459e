"""Whether a line goes on with the one before it, judged by how both are set."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from callout.core.authoring.collecting import Collector
from callout.core.authoring.likely import response_likeness
from callout.core.authoring.row_signs import (
    Pitch,
    are_centred,
    is_lower,
    is_tight,
    looks_heading,
    marked_headings,
    pitches,
    response_edges,
    same_style,
)
from callout.core.formats.drafts import is_phase_name
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Row

_FEWEST_MARKED: Final = 2
_EVEN: Final = 0.25
"""Most that lines that are set alike differ in place, in letter heights."""
_FULL: Final = 0.8
"""Share of its column that a line fills before it goes on in the next."""
_MOST_WORDS: Final = 4
_LINKS: Final = frozenset({"from", "at", "to", "and", "until", "by"})
"""Words that join a value to another one, and name nothing themselves."""
_HINT_WORDS, _STATE = 3, 0.5
_HINT, _CLOSE = 0.85, 0.6
"""Height of a remark under a challenge, relative to it, and the clear space between the two."""
_NEW_COLUMN: Final = 3.0
"""Clear space above the first line of a column, or of what stands apart, in letter heights."""


class Neighbours:
    """Compares a line with the items around it."""

    def __init__(self, out: Collector, rows: Sequence[Row]) -> None:
        self.out = out
        self.response_edge = response_edges(rows)
        self.pitches = pitches(rows)
        self.marked_headings = marked_headings(rows)

    def goes_on_response(self, row: Row) -> bool:
        """Say whether a line is more of the last response."""
        if self.out.is_open and row.indent > 1 and row.gap < 1.2 and not row.bullet:
            return True
        if self._is_wrapped(row):
            return True
        edge = self.response_edge.get(row.origin.page, [])
        left = row.cells[0].left
        box = row.origin.box
        return bool(
            box
            and self.out.has_item
            and row.gap < 0.9
            and not row.banner
            and not is_phase_name(row.cells[0].text)
            and any(abs(left - at) < 0.5 * box.height for at in edge)
            and row.indent > 4
        )

    def is_hint(self, row: Row) -> bool:
        """Say whether a line is set in small type under the challenge of the last item."""
        last, text = self.out.last_row, row.cells[0].text
        if last is None or row.origin.box is None or row.bullet or row.bold or text.isupper():
            return False
        under = row.gap < _CLOSE and abs(row.indent - last.indent) < _EVEN
        under = under or (row.gap < _CLOSE and self._is_under_response(row, last))
        return under and row.height < _HINT * last.height and not is_phase_name(text)

    def _is_under_response(self, row: Row, last: Row) -> bool:
        """Say whether words that are no response end where the whole one above them does."""
        text, em = row.cells[0].text, last.origin.box.height if last.origin.box else 1.0
        level = len(last.cells) > 1 and abs(row.cells[0].right - last.cells[-1].right) < em / 2
        plain = text[:1].islower() and len(text.split()) >= _HINT_WORDS
        return level and plain and not self.out.is_open and response_likeness(text) < _STATE

    def goes_on_value(self, row: Row) -> bool:
        """Say whether a line joins another value to the last one: "from ____" under "Wind ____"."""
        last = self.out.last_row
        linked = row.cells[0].text.strip(" :").casefold() in _LINKS and BLANK in row.cells[1].text
        return linked and last is not None and BLANK in last.origin.text and row.gap < 1.0

    def is_between_items(self, row: Row, following: Row | None) -> bool:
        """Say whether a line looks like the items around it: its response is missing."""
        pitch = self.pitches.get(row.origin.page)
        if pitch is None or not self.out.has_item:
            return False
        if following is None or following.gap > _NEW_COLUMN:
            return self._ends_items(row, pitch)
        if len(following.cells) < 2 or is_phase_name(row.cells[0].text):
            return False
        even = all(abs(one.gap - pitch.gap) < _EVEN for one in (row, following))
        level = (
            abs(row.indent - following.indent) < _EVEN
            and row.cells[0].text.isupper() == pitch.capitals
        )
        return even and level and same_style(row, following) and not looks_heading(row)

    def _ends_items(self, row: Row, pitch: Pitch) -> bool:
        """Say whether the last line of a column is set like the item before it."""
        last, text = self.out.last_row, row.cells[0].text
        if last is None or is_phase_name(text) or len(text.split()) > _MOST_WORDS:
            return False
        even = abs(row.gap - pitch.gap) < _EVEN and abs(row.indent - last.indent) < _EVEN
        alike = text.isupper() == pitch.capitals and same_style(last, row)
        return even and alike and not looks_heading(row) and not row.banner

    def is_plain_start(self, held: Row, row: Row) -> bool:
        """Say whether a line looks like an item, where headings look different: a challenge."""
        pages = self.marked_headings.get(held.origin.page, 0)
        if min(cell.sure for cell in held.cells) < 1.0:
            return False  # a picture does not show what is bold
        alike = same_style(held, row) and not looks_heading(held) and is_tight(row)
        return pages >= _FEWEST_MARKED and alike and not held.bullet and self.out.has_title

    def goes_on_challenge(self, row: Row) -> bool:
        """Say whether a line is more of the last challenge."""
        text = row.cells[0].text
        if self.out.is_bracketed or self._is_under_challenge(row):
            return True
        last = self.out.last_row
        if row.origin.text.rstrip().endswith(":"):
            return False
        if text.isupper() and last is not None and not last.cells[0].text.isupper():
            return False
        cells = last.cells if last is not None else ()
        if len(cells) > 1 and cells[0].left < cells[-1].left < row.cells[0].right:
            return False  # it runs on under the response
        return bool(
            row.origin.box
            and self.out.has_item
            and is_tight(row)
            and row.indent > 0.5
            and row.indent < 6
            and is_lower(text)
            and self.out.may_go_on
            and not self._is_set_apart(row)
        )

    def _is_under_challenge(self, row: Row) -> bool:
        """Say whether a line stands under a challenge, left of its response, nearer than items."""
        last, pitch = self.out.last_row, self.pitches.get(row.origin.page)
        if last is None or pitch is None or last.origin.box is None or row.bullet:
            return False
        cells, own = last.cells, row.cells[0]
        em = last.origin.box.height / max(last.height, 0.1)
        level = abs(own.left - cells[0].left) < em / 2 and len(cells) > 1 and not last.leader
        near = row.gap < pitch.gap - _EVEN and own.right < cells[-1].left
        return level and near and own.text[:1].islower() and same_style(last, row)

    def _is_set_apart(self, row: Row) -> bool:
        """Say whether a line is centred under the last item, or set as a heading."""
        last = self.out.last_row
        if last is None:
            return False
        return are_centred(last, row) or (looks_heading(row) and not same_style(last, row))

    def _is_wrapped(self, row: Row) -> bool:
        """Say whether a few words stand nearer to a full line than items do: they are its end."""
        last, pitch = self.out.last_row, self.pitches.get(row.origin.page)
        if last is None or pitch is None or last.origin.box is None or row.bullet:
            return False
        if self._is_under_challenge(row):
            return False
        text = row.cells[0].text
        alike = text[:1].islower() or (text.isupper() and last.cells[-1].text.isupper())
        if not alike or is_phase_name(text):
            return False
        near = row.gap < pitch.gap - _EVEN and same_style(last, row) and not looks_heading(row)
        em = last.origin.box.height / max(last.height, 0.1)
        full = last.indent * em + last.origin.box.width > _FULL * last.room * em
        return near and full and last.room > 0 and len(text.split()) <= _MOST_WORDS
