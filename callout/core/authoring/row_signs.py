"""What the place and the type of a row say about it, next to the rows around it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import Final

from callout.core.authoring.asides import heads_condition, role_of
from callout.core.authoring.likely import response_likeness
from callout.core.formats.draft_text import clean_markdown
from callout.core.paper.page import Cell, Row, is_hyphened, joined_text

NOTE: Final = re.compile(
    r"^\W*(note|notes|caution|cautions|warning|warnings|remark|remarks|nb|n\.b\.?)\s*\d?\s*[:.\u2013\u2014-]\s*(.*)$"
    r"|^\W*(NOTE|CAUTION|WARNING|REMARK)S?\s+(?=[A-Za-z])(.+)$"
    r"|^\W*(note|caution|warning)s?\W*$",
    re.IGNORECASE,
)
"""A line that begins a note, and what it says."""
_PROSE: Final = re.compile(r"(?<![a-z'-])[a-z][a-z'-]* [a-z]")
_SENTENCE: Final = 6
"""Lower-case words that make a line a remark rather than a heading."""
_INWARD: Final = 0.6
"""How far the second line of a challenge, or an item under a heading, is set in, in heights."""
_WRAPPED: Final = 0.3
"""Minimum share of its column that a challenge fills before it continues on the next line."""
_LIST_NAME: Final = re.compile(r"\bcheck ?list\W*$", re.IGNORECASE)
_FEWEST_ITEMS: Final = 4
_CREW: Final = re.compile(r"\((?:PF|PM|PNF|P1|P2|CM1|CM2|CAPT|FO)\)$", re.IGNORECASE)
_BOTH: Final = re.compile(r"\((?:both|all)\)$", re.IGNORECASE)
_FEWEST_MARKS: Final = 2
_SURELY: Final = 0.85
_MIDDLE: Final = 0.8
"""How near the middles of centred lines are, in letter heights."""
_BESIDE: Final = -0.5
"""Clear space above a line that is level with the one before it."""
_BRANCHES: Final = frozenset({"yes", "no", "if yes", "if no"})
_ANSWERED: Final = re.compile(r"\?\s+(?:yes|no)$")
_GO_TO: Final = re.compile(
    r"\W*(?:go|continue|proceed|return|see|skip)(?: (?:to|with|at|on))*"
    r" (?:step|item|line|page|card|section|list|no)\b",
    re.IGNORECASE,
)
_ENDED: Final = re.compile(r"(?:[^\W\d_]{2}|[\d%])\.\s+[A-Z][a-z]")
"""The end of a sentence, and the beginning of the next; "Emerg. Lights" is shorter."""
_LEVEL: Final = 0.3
_SET_IN: Final = 0.8
"""How much farther right a step of a step begins, in letter heights."""


def is_item_row(row: Row) -> bool:
    """Say whether a line is an item, even if it begins like a note: "Warning lights TESTED"."""
    if len(row.cells) < 2:
        return False
    challenge, response = (cell.text for cell in row.cells[:2])
    plain = len(row.cells) == 2 and " " in challenge
    return row.leader or (plain and response_likeness(response) > _SURELY)


def is_branch(row: Row) -> bool:
    """Say whether a line goes on after a question, "If yes", or leads elsewhere: it is no item."""
    if len(row.cells) < 2:
        return False
    asked, told = row.cells[0].text.casefold(), row.cells[-1].text
    return asked in _BRANCHES or (_ANSWERED.search(asked) and _GO_TO.match(told)) is not None


def is_told(row: Row) -> bool:
    """Say whether a mark within sentences divided a line: they are a remark, and no item."""
    if len(row.cells) != 2 or row.leader or row.bullet or "__" in row.origin.text:
        return False
    challenge, response = row.cells
    if challenge.left != response.left:
        return False
    bracketed = challenge.text.startswith("(") and response.text.endswith(")")
    long = len(challenge.text.split()) >= _SENTENCE
    return bracketed or (long and _ENDED.search(challenge.text) is not None)


def response_edges(rows: Iterable[Row]) -> dict[int, list[float]]:
    """Return for each page where responses begin."""
    edges: dict[int, list[float]] = {}
    rows = list(rows)
    marked = [row.response_at for row in rows if row.response_at]
    for row in rows:
        cells = row.cells[1:] if len(row.cells) > 2 and role_of(row.cells[0].text) else row.cells
        left = cells[1].left if len(cells) == 2 else 0.0
        near = row.origin.box.height / 3 if row.origin.box else 0.0
        if row.response_at and sum(abs(row.response_at - at) < near for at in marked) > 2:
            left = row.response_at  # a mark divides the lines, and one place
        if left > cells[0].left:
            edges.setdefault(row.origin.page, []).append(left)
    return edges


@dataclass(frozen=True, slots=True)
class Pitch:
    """How the items of a page are set."""

    gap: float
    capitals: bool


def pitches(rows: Sequence[Row]) -> dict[int, Pitch]:
    """Return for each page how its items are set, if there are enough of them."""
    pages: dict[int, list[Row]] = {}
    for row in rows:
        if len(row.cells) > 1 and row.origin.box:
            pages.setdefault(row.origin.page, []).append(row)
    return {
        page: Pitch(
            median(row.gap for row in found),
            2 * sum(row.cells[0].text.isupper() for row in found) > len(found),
        )
        for page, found in pages.items()
        if len(found) >= _FEWEST_ITEMS
    }


def marked_headings(rows: Sequence[Row]) -> dict[int, int]:
    """Return for each page how many headings stand out by their type."""
    marked: dict[int, int] = {}
    for row in rows:
        if len(row.cells) == 1 and row.origin.box and (row.bold or row.height > 1.15):
            marked[row.origin.page] = marked.get(row.origin.page, 0) + 1
    return marked


def heads_steps(row: Row, following: Row | None) -> bool:
    """Say whether a numbered line only names the steps that are set in under it."""
    if following is None or not (row.bullet and following.bullet) or following.gap < _BESIDE:
        return False
    return following.indent > row.indent + _SET_IN and following.origin.page == row.origin.page


def heads_set_in(held: Row, row: Row, following: Row | None) -> bool:
    """Say whether two items that are set in follow a line: it heads them, and begins none."""
    if following is None or len(following.cells) < 2 or held.bullet != row.bullet:
        return False
    level = abs(following.indent - row.indent) < _LEVEL and row.bullet == following.bullet
    inward = row.indent > held.indent + _INWARD
    return level and inward and following.origin.page == row.origin.page


def is_condition_line(row: Row) -> bool:
    """Say whether a line on its own says when what follows applies: "If in cloud:"."""
    text = row.cells[0].text.strip()
    return (row.bold or row.origin.text.rstrip().endswith(":")) and heads_condition(
        clean_markdown(text.rstrip(":"))
    )


def marked_rows(rows: Sequence[Row]) -> list[Row]:
    """Return rows; where others end with who answers, "(BOTH)" says that both pilots do."""
    made = list(rows)
    for at in (0, -1):
        marked = sum(_CREW.search(row.cells[at].text) is not None for row in made)
        if marked >= _FEWEST_MARKS:
            made = [_with_both(row, at) for row in made]
    return made


def _with_both(row: Row, at: int) -> Row:
    cells = list(row.cells)
    cells[at] = replace(cells[at], text=_BOTH.sub("(both pilots)", cells[at].text))
    return replace(row, cells=tuple(cells))


def is_beside(held: Row, row: Row) -> bool:
    """Say whether a line stands to the right of where the challenge after it ends."""
    boxes = held.origin.box is not None and row.origin.box is not None
    return boxes and held.cells[0].left > row.cells[0].right


def is_tight(row: Row) -> bool:
    return row.gap < 0.75


def goes_on_heading(held: Row, row: Row) -> bool:
    ended = _LIST_NAME.search(held.cells[0].text) is not None
    return not ended and is_tight(row) and same_style(held, row)


def is_lower(text: str) -> bool:
    return text[:1].islower() or text[:1] in "(&/+" or text.isupper()


def same_style(one: Row, other: Row) -> bool:
    return one.bold == other.bold and abs(one.height - other.height) < 0.25


def goes_together(held: Row, row: Row) -> bool:
    """Say whether a challenge covers two lines: the first is long or hyphened, or the second is
    indented.
    """
    if not held.origin.box or held.banner or not same_style(held, row) or row.gap >= 0.75:
        return held.bullet and not row.bullet and row.indent > held.indent + 0.5
    height = max(held.origin.box.height, 0.1)
    long = (held.cells[0].right - held.cells[0].left) / height > _WRAPPED * max(held.room, 1.0)
    set_in = row.indent > held.indent + _INWARD and not row.bullet and not are_centred(held, row)
    lower = row.cells[0].text[:1].islower() or row.cells[0].text[:1] in "(&"
    told = held.cells[0].text
    if told.isupper() and not row.cells[0].text.isupper():
        return False
    if is_hyphened(told) and row.gap < 0.75:
        return True
    open_bracket = told.count("(") > told.count(")")
    return open_bracket or (long and (set_in or lower) and not told.endswith(":"))


def are_centred(one: Row, other: Row) -> bool:
    """Say whether two lines have one middle: their starts say nothing."""
    if one.origin.box is None or other.origin.box is None:
        return False
    middles = (row.origin.box.left + row.origin.box.right for row in (one, other) if row.origin.box)
    first, second = middles
    return abs(first - second) < 2 * _MIDDLE * one.origin.box.height


def joined_rows(held: Row, row: Row) -> Row:
    first = held.cells[0]
    cell = Cell(joined_text(first.text, row.cells[0].text), first.left, row.cells[0].right)
    return replace(held, cells=(cell,))


def looks_heading(row: Row) -> bool:
    return row.heading or row.bold or row.banner or row.height > 1.15


def stands_out(row: Row, following: Row | None) -> bool:
    """Say whether a line is set as a heading and the line after it as another kind of line."""
    return looks_heading(row) and following is not None and not same_style(row, following)


def is_sentence(row: Row) -> bool:
    """Say whether a line is a whole sentence, though it may begin with a small letter."""
    return row.cells[0].text.rstrip().endswith((".", "!")) and is_prose(row)


def is_prose(row: Row) -> bool:
    text = row.cells[0].text
    small = len(re.findall(r"\b[a-z]+\b", text))
    ends = text.rstrip().endswith((".", "!"))
    long = small >= _SENTENCE or (ends and small >= 3)
    return not row.heading and long and bool(_PROSE.search(text))
