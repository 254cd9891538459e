"""What was read from a page: words, strokes, and their positions."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import reduce
from typing import Final


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a page; the origin is at the top left, in points or pixels of the page."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Length from left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Length from top to bottom."""
        return self.bottom - self.top

    @property
    def middle(self) -> float:
        """Height of the middle line."""
        return (self.top + self.bottom) / 2

    def joined(self, other: Box) -> Box:
        """Return the smallest box around both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def across(self, other: Box) -> float:
        """Return how wide both are at one place; negative: the gap between them."""
        return min(self.right, other.right) - max(self.left, other.left)

    def down(self, other: Box) -> float:
        """Return how high both are at one place; negative: the gap between them."""
        return min(self.bottom, other.bottom) - max(self.top, other.top)

    @staticmethod
    def around(boxes: Iterable[Box]) -> Box:
        """Return the smallest box around all of them; there must be one."""
        return reduce(Box.joined, boxes)


@dataclass(frozen=True, slots=True)
class Word:
    """A run of letters without a gap."""

    text: str
    box: Box
    sure: float = 1.0
    """0 to 1: how sure the reader is of the letters."""
    bold: bool = False
    ruled: bool = False
    """True: an upright rule divides it from the word before it."""
    banded: bool = False
    """True: it stands in a field shaded across the page, as headings do."""
    struck: bool = False
    """True: the picture shows a stroke through all of it."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its size, its words in any order, and its straight strokes."""

    number: int
    """From 1."""
    width: float
    height: float
    words: tuple[Word, ...]
    strokes: tuple[Box, ...] = ()
    """Thin horizontal or vertical lines: to write on, or dividing a table."""
    frames: tuple[Box, ...] = ()
    """Small empty rectangles: to write in, or to tick."""
    faint: tuple[Box, ...] = ()
    """Level strokes of a photograph that can hardly be seen."""
    turned: tuple[Word, ...] = ()
    """Words that run up or down the page."""
    unread: tuple[Box, ...] = ()
    """Ink of a photograph that is as high as letters and in no word."""
    bands: tuple[Box, ...] = ()
    """Fields of one line that are shaded across the page."""


@dataclass(frozen=True, slots=True)
class Origin:
    """A position in the source."""

    page: int
    """From 1; 0 if the source has no pages."""
    line: int
    """From 1, counted on the page; a row of a table counts as a line."""
    text: str
    """The text there, letter for letter."""
    box: Box | None = None
    """None if the source is not a picture."""


@dataclass(frozen=True, slots=True)
class Cell:
    """Text that belongs together on one line."""

    text: str
    left: float = 0.0
    right: float = 0.0
    sure: float = 1.0


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a source, divided into parts as far as gaps and leaders allow."""

    cells: tuple[Cell, ...]
    origin: Origin
    indent: float = 0.0
    """In letter heights, from the left edge of its column."""
    height: float = 1.0
    """Letter height relative to most other rows."""
    gap: float = 0.0
    """Clear space above it, in letter heights."""
    bold: bool = False
    leader: bool = False
    """True: a leader, a tab or a dash lies between its first two cells."""
    bullet: bool = False
    banner: bool = False
    """True: it runs across the columns, or is centred on them."""
    room: float = 0.0
    """Width of its column, in letter heights; 0 if unknown."""
    line: bool = False
    """True: only a run of underscores lies between its first two cells."""
    heading: bool = False
    """True: the source itself marks it as a heading."""
    dropped: str = ""
    """What counted or named the line, and is in no cell: "Step 1", "Reply:"."""
    names: tuple[str, ...] = ()
    """What each of its cells heads, if its place shows that it heads the columns of a table."""
    tail: str = ""
    """The end of its text, if that is set in another type than the beginning."""
    response_at: float = 0.0
    """Where the response begins that a mark, not a gap, divides from its challenge; 0: unknown."""
    banded: bool = False
    """True: it stands in a field shaded across the page, and few others do."""
    hole: bool = False
    """True: it leaves room that no letter explains, where a blank may have been missed."""

    @property
    def is_photo(self) -> bool:
        """Whether the line came from a picture, in which a faint blank may be missed."""
        return self.origin.box is not None and min(cell.sure for cell in self.cells) < 1.0


_TAB: Final = 1.6
"""Height of a letter that marks a section, relative to that of its items."""


def is_tab(word: Word, other: Word) -> bool:
    """Say whether a word is one large letter beside a list, as on the tab of a folder."""
    alone = len(word.text) == 1 and word.text.isupper()
    return alone and word.box.height > _TAB * other.box.height


def is_hyphened(text: str) -> bool:
    """Say whether a line breaks off within a word."""
    return re.search(r"[^\W\d_]{2}[-\u00ad\u2010]$", text.rstrip()) is not None


_COMPOUND: Final = re.compile(
    r"\b(?:cross|take|cut|lift|touch|shut|run|warm|pre|anti|de|fly|two|three|four|non|self|low|high"
    r"|full|half|pull|push|left|right|up|down|in|on|off|stand|by|co|double|single|all|air|fuel)$",
    re.IGNORECASE,
)
"""What begins a word that has a hyphen wherever it stands: "cross-checked"."""


LEFT_OPEN: Final = re.compile(r"(?<!_)_{15,}+\s*+$")
"""A run of underscores as long as a leader after which nothing comes on its line."""


def joined_text(one: str, other: str) -> str:
    """Return two lines as one; a word divided between them becomes whole."""
    if is_hyphened(one) and not _COMPOUND.search(one.rstrip()[:-1]):
        return one.rstrip()[:-1] + other.lstrip()
    if is_hyphened(one):
        return one.rstrip() + other.lstrip()
    return f"{one} {other}".strip()


def joined_origin(one: Origin, other: Origin) -> Origin:
    """Return the place that two lines cover together.

    A long run of underscores that nothing followed on its line stays a value to write in.
    """
    box = one.box.joined(other.box) if one.box and other.box else one.box or other.box
    return Origin(one.page, one.line, f"{LEFT_OPEN.sub('____', one.text)} {other.text}", box)
