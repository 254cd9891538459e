"""Cards as PDF, in many layouts, by fpdf2."""

from __future__ import annotations

from collections.abc import Iterator

from callout.bench.cards.lines import CardText, Line
from callout.bench.cards.sheet import Layout, Sheet


def print_card(card: CardText, layout: Layout) -> bytes:
    """Return ``card`` as a PDF."""
    return _Press(card, layout).printed()


class _Press(Sheet):
    def printed(self) -> bytes:
        self._new_page()
        self._title()
        self.start = self.pdf.get_y() + 2
        self.column, self.row = 0, 0
        self.pdf.set_xy(self.left, self.start)
        if self.layout.head:
            self._head_row()
        lines = list(self._lines())
        limit = -(-len(lines) // (self.layout.columns * self.layout.pages))
        for at, line in enumerate(lines):
            if at and at % limit == 0:
                self._next_column()
            self._print_line(line)
        if self.card.call:
            self._text(f"--- {self.card.call} ---", bold=True)
        return bytes(self.pdf.output())

    def _lines(self) -> Iterator[Line]:
        yield from self.card.lines

    def _new_page(self) -> None:
        self.pdf.add_page()
        self.page += 1
        self._font()
        if self.layout.furniture:
            self._furniture()
        self.pdf.set_xy(self.margin, self.margin + (8 if self.layout.furniture else 0))

    def _furniture(self) -> None:
        words = self.card.furniture
        self.pdf.set_font(self.layout.font, "", 8)
        self.pdf.set_xy(self.margin, 9)
        self.pdf.cell(0, 4, words[0])
        self.pdf.set_xy(self.margin, 9)
        self.pdf.cell(self.pdf.w - 2 * self.margin, 4, words[2], align="R")
        self.pdf.set_xy(self.margin, self.pdf.h - 12)
        self.pdf.cell(0, 4, words[3])
        number = f"Page {self.page} of {self.layout.pages}"
        self.pdf.set_xy(self.margin, self.pdf.h - 12)
        self.pdf.cell(self.pdf.w - 2 * self.margin, 4, number, align="R")
        self._font()

    def _next_column(self) -> None:
        self.column += 1
        if self.column >= self.layout.columns:
            self.column = 0
            self._new_page()
            self.start = self.pdf.get_y()
        self.pdf.set_xy(self.left, self.start)
        if self.layout.head:
            self._head_row()

    def _cased(self, text: str) -> str:
        if self.layout.capitals:
            return text
        return " ".join(w if any(c.isdigit() for c in w) or len(w) < 4 else w.lower()
                        for w in text.split()).replace("or auto", "or AUTO")  # fmt: skip

    def _title(self) -> None:
        title = f"{self.card.title} CHECKLIST"
        kind = self.layout.title
        self._font(True, self.layout.size * (1.0 if kind == "plain" else 1.5))
        width = self.pdf.w - 2 * self.margin
        if kind == "banner":
            self.pdf.set_fill_color(30, 50, 90)
            self.pdf.set_text_color(255, 255, 255)
        align = "C" if kind in ("centred", "banner") else "L"
        self.pdf.set_x(self.margin)
        self.pdf.cell(width, self.line * 1.4, title, align=align, fill=kind == "banner",
                      new_x="LMARGIN", new_y="NEXT")  # fmt: skip
        self.pdf.set_text_color(0, 0, 0)
        self._font()

    def _print_line(self, line: Line) -> None:
        if line.kind == "section":
            self._section(line.text)
        elif line.kind == "item":
            self._item(line)
        else:
            self._text(line.text, size=self.layout.size * 0.9)

    def _section(self, text: str) -> None:
        kind = self.layout.sections
        y = self.pdf.get_y() + self.line * 0.3
        self.pdf.set_xy(self.left, y)
        self._font(kind != "plain", self.layout.size * (1.25 if kind == "large" else 1.0))
        if kind == "banner":
            self.pdf.set_fill_color(180, 60, 30)
            self.pdf.set_text_color(255, 255, 255)
        self.pdf.cell(self.width, self.line, text, fill=kind == "banner",
                      border="B" if kind == "underlined" else 0)  # fmt: skip
        self.pdf.set_text_color(0, 0, 0)
        self.pdf.set_xy(self.left, y + self.line * 1.1)
        self._font()

    def _text(self, text: str, bold: bool = False, size: float = 0.0) -> None:
        self._font(bold, size)
        y = self.pdf.get_y()
        self.pdf.set_xy(self.left, y)
        self.pdf.multi_cell(self.width, self.line * 0.8, text, new_x="LEFT", new_y="NEXT")
        self.pdf.set_xy(self.left, self.pdf.get_y() + self.line * 0.2)
        self._font()

    def _head_row(self) -> None:
        self._font(True)
        y = self.pdf.get_y()
        for x, width, text in self._cells(
            "CHALLENGE", "RESPONSE", "WHO" if self.layout.crew else ""
        ):
            self.pdf.set_xy(x, y)
            self.pdf.cell(
                width, self.line, text, border="TBLR" if self.layout.between == "table" else 0
            )
        self.pdf.set_xy(self.left, y + self.line)
        self._font()

    def _cells(self, *texts: str) -> Iterator[tuple[float, float, str]]:
        shares = (0.5, 0.38, 0.12) if self.layout.crew else (0.52, 0.48, 0.0)
        x = self.left
        for share, text in zip(shares, texts, strict=True):
            if share:
                yield x, self.width * share, text
            x += self.width * share

    def _item(self, line: Line) -> None:
        self.row += 1
        challenge, response, who = line.text, line.response, ""
        for mark in ("PF", "PM"):
            if self.layout.crew and f"({mark})" in challenge:
                challenge, who = challenge.replace(f"({mark})", "").strip(), mark
        challenge, response = self._cased(challenge), self._cased(response)
        challenge = self._numbered(challenge)
        y = self.pdf.get_y()
        if self.layout.zebra and self.row % 2:
            self.pdf.set_fill_color(225, 230, 240)
            self.pdf.rect(self.left, y, self.width, self.line, style="F")
        used = self._set_item(challenge, response, who, y)
        if self.layout.rules:
            self.pdf.set_draw_color(150, 150, 150)
            self.pdf.line(self.left, y + used, self.left + self.width, y + used)
            self.pdf.set_draw_color(0, 0, 0)
        self.pdf.set_xy(self.left, y + used)

    def _numbered(self, challenge: str) -> str:
        if self.layout.number == "1.":
            return f"{self.row}. {challenge}"
        if self.layout.number == "dot":
            return f"- {challenge}"
        if self.layout.number == "box":
            self.pdf.rect(
                self.left, self.pdf.get_y() + self.line * 0.22, self.line * 0.5, self.line * 0.5
            )
            return f"    {challenge}"
        return challenge

    def _set_item(self, challenge: str, response: str, who: str, y: float) -> float:
        kind = self.layout.between
        if kind in ("table", "left"):
            return self._set_cells(challenge, response, who, y, 1 if kind == "table" else 0)
        right = self.left + self.width * (0.88 if self.layout.crew else 1.0)
        if who:
            self._place(who, right + 4, y)
        if kind in ("colon", "dash", "arrow", "line"):
            mark = {"colon": ": ", "dash": " - ", "arrow": " -> ", "line": ""}[kind]
            end = self._place(challenge + mark, self.left, y)
            if kind == "line":
                width = self._width(response)
                self._leader("_", end + 1, right - width - 1, y)
                end = right - width
            self._place(response, end, y)
            return self.line
        end = self._place(challenge, self.left, y)
        start = right - self._width(response)
        if kind in ("dots", "spaced-dots"):
            self._leader("." if kind == "dots" else ". ", end + 1.5, start - 1.5, y)
        self._place(response, start, y)
        return self.line

    def _leader(self, mark: str, start: float, end: float, y: float) -> None:
        count = int((end - start) / self.pdf.get_string_width(mark))
        if count > 1:
            text = mark * count
            self._plain(text, end - self.pdf.get_string_width(text), y)

    def _set_cells(self, challenge: str, response: str, who: str, y: float, border: int) -> float:
        used = self.line
        cells = list(self._cells(challenge, response, who))
        wrapped = []
        for x, width, text in cells:
            parts = self._wrapped(text, width - 3)
            wrapped.append((x, width, parts))
            used = max(used, self.line * (0.78 * len(parts) + 0.22))
        for x, width, parts in wrapped:
            if border:
                self.pdf.rect(x, y, width, used)
            top = y
            for part in parts:
                self._place(part, x + 1, top)
                top += self.line * 0.78
        return used
