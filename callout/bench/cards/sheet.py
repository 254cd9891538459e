"""A sheet of paper on which texts and blanks are drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from callout.bench.cards.lines import CardText

if TYPE_CHECKING:
    from fpdf import FPDF

MM: Final = 25.4 / 72
_OWN: Final = "atkinson"


@dataclass(frozen=True, slots=True)
class Layout:
    """How a card is laid out."""

    font: str = "helvetica"
    size: float = 11.0
    columns: int = 1
    wide: bool = False
    between: str = "dots"
    """dots, spaced-dots, gap, left (a response column), colon, dash, line, arrow or table."""
    sections: str = "bold"
    """bold, banner, plain, underlined or large."""
    number: str = ""
    """"" none, "1." numbered, "box" or "dot"."""
    crew: bool = False
    """PF and PM in a third column instead of in brackets."""
    blanks: str = "underscores"
    """underscores, strokes, frames or brackets."""
    head: bool = False
    """A heading row: CHALLENGE, RESPONSE."""
    furniture: bool = False
    pages: int = 1
    capitals: bool = True
    zebra: bool = False
    rules: bool = False
    narrow: bool = False
    """Long responses continue on a second line."""
    title: str = "large"
    """large, plain, banner or centred."""


class Sheet:
    """Draws texts in the layout's typeface and with its blanks."""

    def __init__(self, card: CardText, layout: Layout) -> None:
        from fpdf import FPDF

        self.card, self.layout = card, layout
        self.pdf: FPDF = FPDF(orientation="L" if layout.wide else "P", format="A4")
        self.pdf.set_auto_page_break(False)
        self.pdf.set_creation_date(datetime(2026, 1, 1, tzinfo=UTC))
        if layout.font == _OWN:
            folder = files("callout") / "data" / "fonts"
            self.pdf.add_font(_OWN, "", str(folder / "AtkinsonHyperlegible-Regular.ttf"))
            self.pdf.add_font(_OWN, "B", str(folder / "AtkinsonHyperlegible-Bold.ttf"))
        self.line = layout.size * MM * 1.55
        self.margin = 16.0
        self.column = 0
        self.row = 0
        self.page = 0

    @property
    def width(self) -> float:
        gutter = 12.0
        whole = self.pdf.w - 2 * self.margin - gutter * (self.layout.columns - 1)
        return whole / self.layout.columns

    @property
    def left(self) -> float:
        return self.margin + self.column * (self.width + 12.0)

    def _font(self, bold: bool = False, size: float = 0.0) -> None:
        self.pdf.set_font(self.layout.font, "B" if bold else "", size or self.layout.size)

    def _wrapped(self, text: str, width: float) -> Sequence[str]:
        if not self.layout.narrow and self._width(text) <= width:
            return [text]
        parts = [""]
        room = width * (0.7 if self.layout.narrow else 1.0)
        for word in text.split(" "):
            longer = f"{parts[-1]} {word}".strip() if parts[-1] else word
            if parts[-1] and self._width(longer) > room:
                parts.append(word)
            else:
                parts[-1] = longer
        return parts

    def _width(self, text: str) -> float:
        return sum(width for _, width in self._pieces(text))

    def _pieces(self, text: str) -> Iterator[tuple[str, float]]:
        """Yield texts and blanks with their widths."""
        parts = text.split("____")
        for at, part in enumerate(parts):
            if at:
                yield "____", 16.0 if self.layout.blanks != "underscores" else self._string("_____")
            if part:
                yield part, self._string(part)

    def _string(self, text: str) -> float:
        return float(self.pdf.get_string_width(text))

    def _place(self, text: str, x: float, y: float) -> float:
        """Draw ``text`` at a position, with blanks in the layout's style; return where it ends."""
        for piece, width in self._pieces(text):
            if piece == "____":
                self._blank(x, width, y)
            else:
                self._plain(piece, x, y)
            x += width
        return x

    def _blank(self, x: float, width: float, y: float) -> None:
        kind = self.layout.blanks
        low = y + self.line * 0.78
        if kind == "strokes":
            self.pdf.line(x + 0.8, low, x + width - 0.8, low)
        elif kind == "frames":
            self.pdf.rect(x + 0.8, y + self.line * 0.12, width - 1.6, self.line * 0.75)
        else:
            self._plain("_____" if kind == "underscores" else "[      ]", x, y)

    def _plain(self, text: str, x: float, y: float) -> None:
        self.pdf.set_xy(x - self.pdf.c_margin, y)
        self.pdf.cell(self._string(text) + 2 * self.pdf.c_margin, self.line, text)
