"""Cards as PDF: one card per page, or two on a sheet with fold marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.resources import as_file, files
from pathlib import Path
from typing import TYPE_CHECKING, Final

from callout.core.printing.card import (
    LEADING,
    MARGIN_MM,
    MM_A_POINT,
    SIZES,
    CardLine,
    CardSize,
    LineKind,
    Size,
    line_groups,
    type_size,
)
from callout.core.sentences import authoring
from callout.core.sentences import files as sentences
from callout.errors import CalloutError

if TYPE_CHECKING:
    from fpdf import FPDF

Card = Sequence[CardLine]
_BOLD: Final = {LineKind.TITLE, LineKind.SECTION, LineKind.CALL}
_DEEPER: Final = {LineKind.FLOW, LineKind.NOTE}
_INDENT: Final = 3.5
_BAR: Final = 1.2
_SMALL: Final = 7.5
"""Points; the foot line is not for use in flight."""
_FOOT: Final = 8.0


@dataclass(frozen=True, slots=True)
class _Placed:
    """One printed line; ``top`` in millimetres from the top of its card."""

    line: CardLine
    left: str
    right: str
    top: float
    height: float
    """Millimetres."""
    dots: bool = False
    further: bool = False
    """True for the second and later rows of one line."""


_Page = list[_Placed]


def write_pdf(cards: Sequence[Card], size: Size, fold: bool, safety: str, path: Path) -> int:
    """Write the cards to ``path``; return the number of card pages. Raises CalloutError."""
    try:
        from fpdf import FPDF
    except ImportError as error:
        hint = 'Run: pip install "callout[cards]"'
        raise CalloutError(sentences.PDF_CARD_NEEDS_FPDF2, hint) from error
    card = SIZES[size]
    wide = card.width * 2 if fold else card.width
    pdf = FPDF(unit="mm", format=(wide, card.height))
    pdf.set_auto_page_break(False)
    pdf.set_title("Checklist cards")
    _add_fonts(pdf)
    pages = [page for lines in cards for page in _Layout(pdf, card).pages(lines)]
    _draw_pages(pdf, pages, card, fold, safety)
    try:
        pdf.output(str(path))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise CalloutError(sentences.file_unwritable(path, reason), authoring.CHECK_NAME) from error
    return len(pages)


def _add_fonts(pdf: FPDF) -> None:
    folder = files("callout") / "data" / "fonts"
    for style, name in (("", "Regular"), ("B", "Bold")):
        with as_file(folder / f"AtkinsonHyperlegible-{name}.ttf") as font:
            pdf.add_font("card", style, font)


class _Layout:
    """Breaks lines to the width of a card and cards to their height."""

    def __init__(self, pdf: FPDF, card: CardSize) -> None:
        self._pdf = pdf
        self._width = card.width - 2 * MARGIN_MM
        self._bottom = card.height - MARGIN_MM - _FOOT
        self._pitch = type_size() * (1 + LEADING) * MM_A_POINT

    def pages(self, lines: Card) -> Iterator[_Page]:
        """Yield the pages of one list; related lines stay together."""
        page: _Page = []
        top = MARGIN_MM
        for group in line_groups(lines):
            need = sum(len(self._rows(line)) * self._pitch for line in group)
            need += sum(map(self._space_before, group))
            if page and top + need > self._bottom:
                yield page
                page, top = [], MARGIN_MM
                again = CardLine(LineKind.TITLE, f"{lines[0].text}, continued")
                top = self._place(page, again, top)
            for line in group:
                top = self._place(page, line, top)
        yield page

    def _place(self, page: _Page, line: CardLine, top: float) -> float:
        """Put ``line`` on the page below ``top``; return the position of the next one."""
        top += self._space_before(line) if page else 0.0
        for row, (left, right, dots) in enumerate(self._rows(line)):
            page.append(_Placed(line, left, right, top, self._pitch, dots, row > 0))
            top += self._pitch
        return top

    def _space_before(self, line: CardLine) -> float:
        return self._pitch * 0.4 if line.kind in (LineKind.SECTION, LineKind.CALL) else 0.0

    def _rows(self, line: CardLine) -> list[tuple[str, str, bool]]:
        """Return (left, right, dots between) for each row of the line."""
        self._font(line)
        if line.kind is LineKind.ITEM:
            return self._item_rows(line)
        text = f"Caution: {line.text}" if line.kind is LineKind.CAUTION else line.text
        room = self._width - _INDENT * (2 if line.kind in _DEEPER else 1)
        return [(row, "", False) for row in self._broken(text, room)]

    def _item_rows(self, line: CardLine) -> list[tuple[str, str, bool]]:
        wide = self._pdf.get_string_width
        room = self._width - _INDENT
        if wide(line.text) + wide(line.response) + 6 <= room:
            return [(line.text, line.response, True)]
        left = [(row, "", False) for row in self._broken(line.text, room)]
        right = self._broken(line.response, room * 0.9)
        return [*left, *(("", row, False) for row in right)]

    def _broken(self, text: str, room: float) -> list[str]:
        rows: list[str] = []
        for word in text.split():
            joined = f"{rows[-1]} {word}" if rows else word
            if rows and self._pdf.get_string_width(joined) <= room:
                rows[-1] = joined
            else:
                rows.append(word)
        return rows or [""]

    def _font(self, line: CardLine) -> None:
        _set_font(self._pdf, line)


def _set_font(pdf: FPDF, line: CardLine) -> None:
    bold = line.kind in _BOLD or line.critical
    grown = 1.15 if line.kind is LineKind.TITLE else 1.0
    pdf.set_font("card", "B" if bold else "", type_size() * grown)


def _draw_pages(pdf: FPDF, pages: list[_Page], card: CardSize, fold: bool, safety: str) -> None:
    across = 2 if fold else 1
    for n, page in enumerate(pages):
        if n % across == 0:
            pdf.add_page()
            if fold:
                _fold_marks(pdf, card)
        left = card.width * (n % across)
        for placed in page:
            _draw_line(pdf, placed, left, card)
        _draw_foot(pdf, left, card, f"{n + 1} of {len(pages)}", safety)


def _draw_line(pdf: FPDF, placed: _Placed, left: float, card: CardSize) -> None:
    _set_font(pdf, placed.line)
    x = left + MARGIN_MM
    end = left + card.width - MARGIN_MM
    base = placed.top + placed.height * 0.72
    _draw_rules(pdf, placed, x, end)
    start = x if placed.line.kind in _BOLD else x + _INDENT
    further = placed.further or placed.line.kind is LineKind.NOTE
    start += _INDENT if further and placed.line.kind in _DEEPER else 0.0
    pdf.text(start, base, placed.left)
    if placed.right:
        wide = pdf.get_string_width(placed.right)
        pdf.text(end - wide, base, placed.right)
        if placed.dots:
            begin = start + pdf.get_string_width(placed.left) + 1.5
            _draw_dots(pdf, begin, end - wide - 1.5, base)


def _draw_rules(pdf: FPDF, placed: _Placed, x: float, end: float) -> None:
    kind = placed.line.kind
    if placed.line.critical:
        pdf.set_fill_color(0)
        pdf.rect(x, placed.top + 0.4, _BAR, placed.height - 0.8, style="F")
    if kind is LineKind.CALL:
        _draw_rule(pdf, x, end, placed.top, 0.5)
    if kind in (LineKind.TITLE, LineKind.SECTION):
        heavy = 0.5 if kind is LineKind.TITLE else 0.2
        _draw_rule(pdf, x, end, placed.top + placed.height - 0.6, heavy)


def _draw_rule(pdf: FPDF, x: float, end: float, y: float, width: float) -> None:
    pdf.set_line_width(width)
    pdf.line(x, y, end, y)


def _draw_dots(pdf: FPDF, begin: float, end: float, base: float) -> None:
    if end - begin > 2:
        pdf.set_line_width(0.25)
        with _dashed_lines(pdf, 0.3, 1.2):
            pdf.line(begin, base, end, base)


def _fold_marks(pdf: FPDF, card: CardSize) -> None:
    """Mark the fold at both edges, outside the text."""
    pdf.set_line_width(0.3)
    with _dashed_lines(pdf, 1.0, 1.0):
        pdf.line(card.width, 0, card.width, 5)
        pdf.line(card.width, card.height - 5, card.width, card.height)


@contextmanager
def _dashed_lines(pdf: FPDF, on: float, off: float) -> Iterator[None]:
    pdf.set_dash_pattern(dash=on, gap=off)
    yield
    pdf.set_dash_pattern()


def _draw_foot(pdf: FPDF, left: float, card: CardSize, number: str, safety: str) -> None:
    pdf.set_font("card", "", _SMALL)
    pdf.set_xy(left + MARGIN_MM, card.height - MARGIN_MM - _FOOT + 2)
    wide = card.width - 2 * MARGIN_MM
    pdf.multi_cell(wide - 14, _SMALL * 1.3 * MM_A_POINT, safety, align="L")
    pdf.text(
        left + card.width - MARGIN_MM - pdf.get_string_width(number),
        card.height - MARGIN_MM - _FOOT + 4.5,
        number,
    )
