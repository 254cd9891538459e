"""A printable card: sizes and type after published guidance, and what is on each.

Degani, NASA CR-177605 (1992): sans serif without look-alike letters, small letters with a large
first one, no long italics, black on white, an x-height of 0.10 inch or more, and a line spacing of
25 to 33 % of the type size (the last from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from callout.core.printing.shown_list import ShownItem, ShownList

LEAST_X_HEIGHT_MM: Final = 2.54
"""0.10 inch (CR-177605)."""
LEADING: Final = 0.30
"""Space between lines as a share of the type size, from 25 to 33 %."""
X_HEIGHT: Final = 0.496
"""Height of an x as a share of the type size, for the face used."""
MM_A_POINT: Final = 25.4 / 72


@dataclass(frozen=True, slots=True)
class CardSize:
    """A page, in millimetres; ``sheet`` is the paper that two of them are folded from."""

    width: float
    height: float
    sheet: str


class Size(Enum):
    """Card sizes for the places where cards are used."""

    A5 = "a5"
    KNEE_BOARD = "knee-board"


SIZES: Final[Mapping[Size, CardSize]] = {
    Size.A5: CardSize(148.0, 210.0, "A4"),
    Size.KNEE_BOARD: CardSize(139.7, 215.9, "Letter"),
}
"""ISO 216 A5 is half an A4; the usual knee-board clip holds half a US letter sheet."""

MARGIN_MM: Final = 9.0
"""Room for a hole punch, a clip or a thumb."""


class LineKind(Enum):
    """What a line of a card is."""

    TITLE = "title"
    CAUTION = "caution"
    FLOW = "flow"
    SECTION = "section"
    ITEM = "item"
    NOTE = "note"
    CALL = "call"


@dataclass(frozen=True, slots=True)
class CardLine:
    """One line of a card before it is broken to fit."""

    kind: LineKind
    text: str
    response: str = ""
    critical: bool = False


def type_size() -> float:
    """Return the type size of items, in points: the smallest whose lower-case letters are tall
    enough.
    """
    least = LEAST_X_HEIGHT_MM / X_HEIGHT / MM_A_POINT
    return int(least * 2 + 0.9999) / 2


def card_lines(shown: ShownList, printed: str = "") -> Iterator[CardLine]:
    """Yield the lines on the card of one list; printed: the date, so that an old card shows."""
    yield CardLine(LineKind.TITLE, shown.title)
    about = [value for name, value in shown.facts if name == "Aircraft"]
    about += [f"printed {printed}"] if printed else []
    if about:
        yield CardLine(LineKind.NOTE, ", ".join(about))
    for name, value in shown.facts:
        if name == "Caution":
            yield CardLine(LineKind.CAUTION, value)
    if shown.flow:
        yield CardLine(LineKind.SECTION, "Flow, from memory")
    for panel in shown.flow:
        yield CardLine(LineKind.FLOW, _readable_facts(f"{panel.panel}: {'; '.join(panel.actions)}"))
    for section in shown.sections:
        if section.title:
            yield CardLine(LineKind.SECTION, section.title)
        for item in section.items:
            yield from _item_lines(item)
    yield CardLine(LineKind.CALL, f"\u201c{shown.completion_call}\u201d")


def line_groups(lines: Sequence[CardLine]) -> Iterator[tuple[CardLine, ...]]:
    """Yield groups of lines that must stay on one page.

    An item with its notes, a heading with its first item, and the completion call with the last.
    """
    group: list[CardLine] = []
    for line in lines:
        follows = line.kind in (LineKind.NOTE, LineKind.CAUTION, LineKind.CALL)
        headed = bool(group) and group[-1].kind in (LineKind.SECTION, LineKind.TITLE)
        if group and not follows and not headed:
            yield tuple(group)
            group = []
        group.append(line)
    if group:
        yield tuple(group)


def _readable_facts(text: str) -> str:
    """Return ``text`` with the names of facts as words."""
    return text.replace("_", " ")


def _item_lines(item: ShownItem) -> Iterator[CardLine]:
    first = item.response.split(" / ")[0]
    yield CardLine(LineKind.ITEM, item.challenge, first, item.critical)
    for remark in item.remarks:
        if remark.startswith("if "):
            yield CardLine(LineKind.NOTE, _readable_facts(remark.partition(":")[0]))
    for caution in item.cautions:
        yield CardLine(LineKind.CAUTION, caution)
