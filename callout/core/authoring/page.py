"""What was read off a page: words, strokes, and where each stands."""

from __future__ import annotations

from dataclasses import dataclass


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
        """Return the smallest box round both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )


@dataclass(frozen=True, slots=True)
class Word:
    """A run of letters without a gap."""

    text: str
    box: Box
    sure: float = 1.0
    """0 to 1: how sure the reader is of the letters."""
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its size, its words in any order, and its straight strokes."""

    number: int
    """From 1."""
    width: float
    height: float
    words: tuple[Word, ...]
    strokes: tuple[Box, ...] = ()
    """Thin lines, level or upright: what is written on, what divides a table."""
    frames: tuple[Box, ...] = ()
    """Small empty rectangles: what is written into, or ticked."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where something stood in the source."""

    page: int
    """From 1; 0 where the source has no pages."""
    line: int
    """From 1, counted on the page; a row of a table counts as a line."""
    text: str
    """What stands there, letter for letter."""
    box: Box | None = None
    """None where the source is no picture."""


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands together in one line."""

    text: str
    left: float = 0.0
    right: float = 0.0
    sure: float = 1.0


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a source, its parts told apart as far as gaps and leaders tell."""

    cells: tuple[Cell, ...]
    origin: Origin
    indent: float = 0.0
    """In letter heights, from the left edge of its column."""
    height: float = 1.0
    """Height of its letters against those of most others."""
    gap: float = 0.0
    """Clear space above it, in letter heights."""
    bold: bool = False
    leader: bool = False
    """A leader, a tab or a dash stands between its first two cells."""
    bullet: bool = False
    banner: bool = False
    """It runs across the columns, or stands in their middle."""
    room: float = 0.0
    """Width of its column, in letter heights; 0 where nothing is known."""
    line: bool = False
    """Only a run of underscores stands between its first two cells."""
    heading: bool = False
    """The source itself calls it a heading."""
