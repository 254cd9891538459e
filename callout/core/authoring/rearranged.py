"""Rows that belong apart or are numbered: names in a margin, bare numbers, items in one line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from callout.core.authoring.asides import role_of
from callout.core.authoring.likely import challenge_likeness, response_likeness
from callout.core.authoring.table_heads import head_parts
from callout.core.formats.drafts import is_phase_name
from callout.core.paper.page import Cell, Row, joined_origin

_FEWEST: Final = 3
_FEWEST_APART: Final = 5
"""Rows of a column whose count begins elsewhere, or has gaps."""
_NEARLY, _MOSTLY = 0.8, 0.6
"""Share of the items that are numbered, and of the numbers that follow one another."""
_APART: Final = 2.0
"""How far left of the items a name in the margin begins, in letter heights."""
_MOST_BESIDE: Final = 4
"""Cells of a line: the name, challenge, response and a remark."""
_REMARK: Final = 0.6
_CLOSE: Final = 1.5
"""Most clear space between two lines of one paragraph."""
_NUMBERED: Final = re.compile(r"^(\d{1,2})\s+(?=[^\W\d_])")
_SURELY: Final = 0.7
_LETTER: Final = re.compile(r"[A-Z][.):]?")
_FEWEST_STRIPED: Final = 1
_FEWEST_LETTERED: Final = 2
_RUN_IN: Final = re.compile(r"(?<!\s)\s+[\u2022\u00b7\u25cf\u2219|]\s+")
_TAIL: Final = re.compile(
    r"^(?=[^a-z]*[A-Z][^A-Z]*[a-z])(.*[a-z)])\s+([A-Z\d_][^a-z]*(?:\s(?:kt|ft|lb|kg)\b)?)$"
)
"""A challenge in small letters and its response in capitals: "Carb heat CHECKED"."""


def rearranged(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of one column as the items that they are."""
    rows = list(_banded_headings(rows))
    return list(_without_numbers(_without_margin_names(list(_run_in_items(rows)))))


def rejoin_parted(parts: Sequence[list[Row]], em: float) -> None:
    """Join a challenge that ends a column of a page with its response that begins the next one."""
    for one, two in pairwise(parts):
        if one and two and _is_parted(one[-1], two[0], em):
            one[-1] = _rejoined(one[-1], two.pop(0))


def _is_parted(row: Row, other: Row, em: float) -> bool:
    """Say whether two rows are a challenge and its response, parted by columns that end there."""
    one, two = row.origin.box, other.origin.box
    named = row.cells[1:] if role_of(row.cells[0].text) is not None else row.cells
    if one is None or two is None or len(named) != 1 or len(other.cells) != 1:
        return False
    level = abs(one.middle - two.middle) < em / 2 and one.right < two.left
    said = response_likeness(other.cells[0].text) > _SURELY
    thing = challenge_likeness(named[0].text) > _SURELY > response_likeness(named[0].text)
    return level and said and thing and not (row.heading or other.heading)


def _rejoined(row: Row, other: Row) -> Row:
    cells = (*row.cells, *other.cells)
    return replace(row, cells=cells, origin=joined_origin(row.origin, other.origin))


def with_lettered_headings(rows: Sequence[Row]) -> list[Row]:
    """Return rows; names of sections that letters count, "A At the pump", "B Inside", are so."""
    found = {at: row for at, row in enumerate(rows) if _is_lettered(row)}
    letters = [row.cells[0].text[0] for row in found.values()]
    counted = letters == [chr(ord("A") + at) for at in range(len(letters))]
    if len(letters) < _FEWEST_LETTERED or not counted or 2 * len(found) > len(rows):
        return list(rows)
    return [_as_heading(row) if at in found else row for at, row in enumerate(rows)]


def _is_lettered(row: Row) -> bool:
    letter = _LETTER.fullmatch(row.cells[0].text) is not None
    plain = letter and len(row.cells) == 2 and not row.leader
    return plain and response_likeness(row.cells[1].text) < _REMARK


def _as_heading(row: Row) -> Row:
    first, name = row.cells
    cell = Cell(f"{first.text} {name.text}", first.left, name.right, min(first.sure, name.sure))
    return replace(row, cells=(cell,), heading=True)


def without_page_count(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of a page without numbers that count its items, whatever their columns."""
    found = {at: int(m[1]) for at, row in enumerate(rows) if (m := _match(row)) is not None}
    items = [at for at, row in enumerate(rows) if len(row.cells) > 1]
    each = len(found) > 1 and all(items[n - 1 : n] == [at] for at, n in found.items())
    counts = set(found.values())
    whole = len(counts) == len(found) >= max(_FEWEST_APART, _NEARLY * len(items))
    if not (each or (whole and max(counts) <= len(counts) / _NEARLY)):
        return list(rows)
    return [_bare(row) if at in found else row for at, row in enumerate(rows)]


def _banded_headings(rows: Sequence[Row]) -> Iterator[Row]:
    """Yield rows; what stands beside a heading in a shaded field is a remark."""
    said = [row for row in rows if row.banded and len(row.cells) == 2]
    items = [row for row in said if _is_banded_item(row)]
    striped = len(items) > _FEWEST_STRIPED and 2 * len(items) > len(said)
    for row in rows:
        first, *rest = row.cells
        named = row.banded and len(rest) == 1 and not row.leader and not head_parts(row)
        if named and not striped and not _is_banded_item(row):
            origin = replace(row.origin, text=first.text)
            yield replace(row, cells=(first,), origin=origin, dropped=rest[0].text, heading=True)
        else:
            yield row


def _is_banded_item(row: Row) -> bool:
    """Say whether a line in a shaded field is an item by its words: such fields are stripes."""
    first, said = row.cells
    return not is_phase_name(first.text) and response_likeness(said.text) >= _REMARK


def _without_margin_names(rows: Sequence[Row]) -> Iterator[Row]:
    """Yield rows; a first cell that stands left of where other rows begin is a heading."""
    if any(len(head_parts(row)) > 2 for row in rows):
        yield from rows
        return
    two = [row for row in rows if len(row.cells) == 2]
    parted = two if len(two) >= _FEWEST else [row for row in rows if len(row.cells) > 1]
    starts = [row.cells[0].left for row in parted]
    edge = max(set(starts), key=lambda x: sum(abs(x - y) < 1 for y in starts), default=None)
    for row in rows:
        if edge is None or not _has_margin_name(row, rows, edge):
            yield row
            continue
        name, *rest = row.cells
        text = " ".join(cell.text for cell in rest)
        yield replace(row, cells=(name,), origin=replace(row.origin, text=name.text), heading=True)
        yield replace(row, cells=tuple(rest), origin=replace(row.origin, text=text), gap=0.0)


def _has_margin_name(row: Row, rows: Sequence[Row], edge: float) -> bool:
    box = row.origin.box
    if role_of(row.cells[0].text) is not None:
        return False
    if box is None or not 3 <= len(row.cells) <= _MOST_BESIDE or row.leader:
        return False
    em = max(box.height, 0.1)
    under = row.cells[0].left < edge - _APART * em and abs(row.cells[1].left - edge) < em / 2
    alike = [r for r in rows if len(r.cells) > 1 and abs(r.cells[0].left - edge) < em / 2]
    first = [r for r in rows if abs(r.cells[0].left - row.cells[0].left) < em / 2]
    named = [r for r in first if len(r.cells) > 2]
    return under and len(alike) >= _FEWEST and len(named) > len(first) / 2


def _without_numbers(rows: Sequence[Row] | Iterator[Row]) -> Iterator[Row]:
    """Yield rows without the numbers that count them."""
    rows = list(rows)
    found = [(at, int(m[1])) for at, row in enumerate(rows) if (m := _match(row)) is not None]
    numbers = [number for _, number in found]
    whole = len(numbers) >= _FEWEST and numbers == list(range(1, len(numbers) + 1))
    counted = {at for at, _ in found} if whole or _goes_on(rows, numbers) else set()
    for at, row in enumerate(rows):
        if at not in counted:
            yield row
            continue
        yield _bare(row)


def _bare(row: Row) -> Row:
    first = row.cells[0]
    bare = replace(first, text=_NUMBERED.sub("", first.text))
    return replace(row, cells=(bare, *row.cells[1:]), bullet=True)


def _goes_on(rows: Sequence[Row], numbers: Sequence[int]) -> bool:
    """Say whether rows carry on a count that other columns hold the rest of: 7, 8, 9, 13, 14."""
    steps = [two - one for one, two in pairwise(numbers)]
    items = sum(len(row.cells) > 1 for row in rows)
    return (
        len(numbers) >= max(_FEWEST_APART, _NEARLY * items)
        and min(steps) > 0
        and steps.count(1) >= _MOSTLY * len(steps)
    )


def _match(row: Row) -> re.Match[str] | None:
    return _NUMBERED.match(row.cells[0].text)


def _run_in_items(rows: Sequence[Row]) -> Iterator[Row]:
    """Yield rows; those that hold several items divided by bullets, one by one."""
    held: list[Row] = []
    for row in rows:
        whole = len(row.cells) == 1 or _RUN_IN.search(row.origin.text) is not None
        goes_on = held and row.gap < _CLOSE and whole and not row.bold
        if not goes_on:
            yield from _divided(held)
            held = []
        held.append(row)
    yield from _divided(held)


def _divided(rows: Sequence[Row]) -> Iterator[Row]:
    text = " ".join(row.origin.text for row in rows)
    parts = [part.strip() for part in _RUN_IN.split(text)]
    found = [_TAIL.match(part) for part in parts]
    if len(parts) < _FEWEST or not all(found):
        yield from rows
        return
    for part, match in zip(parts, found, strict=True):
        if match is not None:
            origin = replace(rows[0].origin, text=part)
            cells = (Cell(match[1], rows[0].cells[0].left), Cell(match[2], rows[0].cells[0].right))
            yield replace(rows[0], cells=cells, origin=origin, bullet=True)
