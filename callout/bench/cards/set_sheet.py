"""The sheet that cards are drawn on: its size, type, colours, columns, headers and footers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fpdf import FPDF

MM: Final = 25.4 / 72
COLOURS: Final[Mapping[str, tuple[int, int, int]]] = {
    "navy": (25, 45, 85), "teal": (0, 110, 115), "grey": (190, 190, 190), "light": (228, 228, 228),
}  # fmt: skip
_PAGES: Final = {"portrait": (210, 297), "landscape": (297, 210), "kneeboard": (105, 148)}
"""Millimetres, ISO 216."""


@dataclass(frozen=True, slots=True)
class Setting:
    """How a card is laid out."""

    page: str = "portrait"
    font: str = "helvetica"
    size: float = 11.0
    columns: int = 1
    between: str = "dots"
    before: str = ""
    """What precedes each item: box, bullet, dash, number, roman number or letter."""
    after: str = ""
    """What follows each item: box."""
    title: str = "large"
    sections: str = "bold"
    notes: str = "plain"
    who: str = "brackets"
    """Where crew marks are: in brackets, in the first or in the last column."""
    names: Sequence[str] = ()
    """The column headings."""
    late_names: bool = False
    blanks: str = "underscores"
    response: str = "plain"
    shade: bool = False
    paper: Sequence[int] = ()
    head: Sequence[str] = ()
    foot: Sequence[str] = ()


class Sheet:
    """Draws texts at given positions."""

    def __init__(self, setting: Setting) -> None:
        from fpdf import FPDF

        self.setting = setting
        self.pdf: FPDF = FPDF(format=_PAGES[setting.page])
        self.pdf.set_auto_page_break(False)
        self.pdf.set_creation_date(datetime(2026, 1, 1, tzinfo=UTC))
        self.family = _added_font(self.pdf, setting.font)
        self.line = setting.size * MM * 1.5
        small = setting.page == "kneeboard"
        self.margin = 8.0 if small else 16.0
        self.gutter = 6.0 if small else 10.0
        self.column = self.row = 0
        self.top = self.y = self.margin

    @property
    def whole(self) -> float:
        """Width between the margins."""
        return self.pdf.w - 2 * self.margin

    @property
    def width(self) -> float:
        """Width of a column."""
        count = self.setting.columns
        return (self.whole - self.gutter * (count - 1)) / count

    @property
    def left(self) -> float:
        """Where the column begins."""
        return self.margin + self.column * (self.width + self.gutter)

    def font(self, bold: bool = False, size: float = 0.0) -> None:
        """Select the typeface."""
        self.pdf.set_font(self.family, "B" if bold else "", size or self.setting.size)

    def measure(self, text: str) -> float:
        """Return the width of ``text``."""
        return float(self.pdf.get_string_width(text))

    def put(self, text: str, x: float, y: float, height: float = 0.0) -> None:
        """Draw ``text`` at a position, vertically centred on a line of ``height``."""
        self.pdf.set_xy(x - self.pdf.c_margin, y)
        self.pdf.cell(self.measure(text) + 2 * self.pdf.c_margin, height or self.line, text)

    def fill(self, left: float, width: float, height: float, colour: Sequence[int]) -> None:
        """Fill a rectangle at the present height."""
        self.pdf.set_fill_color(*colour)
        self.pdf.rect(left, self.y, width, height, style="F")

    def wrapped(self, text: str, width: float) -> list[str]:
        """Return ``text`` wrapped to ``width``; a backslash breaks a line."""
        return [line for part in text.split("\\") for line in self._lines(part.strip(), width)]

    def _lines(self, text: str, width: float) -> Iterator[str]:
        held = ""
        for word in text.split(" "):
            longer = f"{held} {word}".strip()
            if held and self.measure(longer) > width:
                yield held
                held = word
            else:
                held = longer
        yield held

    def new_page(self) -> None:
        """Start a page."""
        self.pdf.add_page()
        self.column, self.y, self.top = 0, self.margin, self.margin
        if self.setting.paper:
            self.y = 0.0
            self.fill(0, self.pdf.w, self.pdf.h, self.setting.paper)
            self.y = self.margin
        self._furniture(self.setting.head, self.margin / 2)
        self._furniture(self.setting.foot, self.pdf.h - self.margin / 2 - 4)
        self.font()

    def _furniture(self, words: Sequence[str], y: float) -> None:
        self.font(size=max(6.0, self.setting.size * 0.7))
        last = len(words) - 1
        for at, text in enumerate(words):
            room = self.whole - self.measure(text)
            self.put(text, self.margin + room * (at / last if last else 0.0), y, 4)

    def next_column(self) -> None:
        """Continue at the top of the next column."""
        self.column += 1
        self.y = self.top


def _added_font(pdf: FPDF, name: str) -> str:
    if name != "dejavu":
        return name
    found = find_spec("matplotlib")
    folder = Path(found.origin or "").parent / "mpl-data" / "fonts" / "ttf" if found else None
    regular, bold = "DejaVuSans.ttf", "DejaVuSans-Bold.ttf"
    if folder is None or not (folder / regular).is_file():
        folder = Path(str(files("callout") / "data" / "fonts"))
        regular, bold = "AtkinsonHyperlegible-Regular.ttf", "AtkinsonHyperlegible-Bold.ttf"
    pdf.add_font(name, "", str(folder / regular))
    pdf.add_font(name, "B", str(folder / bold))
    return name
