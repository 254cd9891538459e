"""Cards laid out line by line as PDF: the layouts that real ones have."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from callout.bench.cards.lines import CardText
from callout.bench.cards.set_items import Items
from callout.bench.cards.set_lines import SetLine
from callout.bench.cards.set_sheet import COLOURS, Setting


def set_card(card: CardText, setting: Setting) -> bytes:
    """Return ``card`` as a PDF."""
    return _Setter(setting).printed(cast("Sequence[SetLine]", card.lines))


class _Setter(Items):
    """Draws lines from top to bottom, column by column."""

    def printed(self, lines: Sequence[SetLine]) -> bytes:
        """Return the PDF."""
        self.new_page()
        for line in lines:
            getattr(self, f"_set_{line.kind}")(line)
        return bytes(self.pdf.output())

    def _set_title(self, line: SetLine) -> None:
        kind = self.setting.title
        whole = self.column == 0 and self.row == 0 and kind in ("banner", "centred")
        left, width = (self.margin, self.whole) if whole else (self.left, self.width)
        self.font(True, self.setting.size * (1.4 if kind != "plain" else 1.0))
        if kind == "banner":
            self.fill(left, width, self.line * 1.4, COLOURS["navy"])
            self.pdf.set_text_color(255)
        x = left + (width - self.measure(line.text)) / 2 if kind in ("banner", "centred") else left
        self.put(line.text, x + (1 if kind == "banner" else 0), self.y, self.line * 1.4)
        self.pdf.set_text_color(0)
        self.font()
        self.y += self.line * 1.7
        if whole or not self.column:
            self.top = self.y if whole else self.margin
        if self.setting.names and not self.setting.late_names:
            self.set_names()

    def _set_section(self, line: SetLine) -> None:
        kind = self.setting.sections
        self.y += self.line * 0.35
        self.font(kind != "plain")
        height = self.line * 1.05
        if kind in ("bar", "colour"):
            colour = COLOURS["grey"] if kind == "bar" else COLOURS["teal"]
            self.fill(self.left, self.width, height, colour)
            self.pdf.set_text_color(0 if kind == "bar" else 255)
        if kind == "side":
            self._set_side(line.text)
            return
        middle = self.left + (self.width - self.measure(line.text)) / 2
        self.put(line.text, middle if kind == "bar" else self.left + 1, self.y, height)
        self.pdf.set_text_color(0)
        if kind == "underlined":
            self.pdf.line(self.left, self.y + height, self.left + self.width, self.y + height)
        self.font()
        self.y += height + self.line * 0.1

    def _set_side(self, text: str) -> None:
        """Draw the name of a section vertically beside its items."""
        self.font(True, self.setting.size * 0.8)
        with self.pdf.rotation(90, self.left - 2, self.y + self.measure(text) + 4):
            self.put(text, self.left - 2, self.y + self.measure(text), 4)
        self.font()

    def _set_condition(self, line: SetLine) -> None:
        self.font(True)
        self.y += self.line * 0.2
        self.fill(self.left, self.width, self.line, COLOURS["light"])
        self.put(line.text, self.left + 1, self.y, self.line)
        self.font()
        self.y += self.line * 1.1

    def _set_note(self, line: SetLine) -> None:
        kind = self.setting.notes
        self.font(size=self.setting.size * (0.8 if kind == "small" else 0.92))
        inset = self.line * 0.6 if kind != "plain" else 0
        for part in self.wrapped(line.text, self.width - inset):
            self.put(part, self.left + inset, self.y, self.line * 0.85)
            self.y += self.line * 0.8
        self.font()
        self.y += self.line * 0.25

    def _set_call(self, line: SetLine) -> None:
        self.font(True)
        self.y += self.line * 0.2
        self.put(line.text, self.left + (self.width - self.measure(line.text)) / 2, self.y)
        self.font()
        self.y += self.line * 1.2

    def _set_column(self, line: SetLine) -> None:
        self.next_column()
        if self.setting.names:
            self.set_names()

    def _set_page(self, line: SetLine) -> None:
        self.new_page()

    def _set_item(self, line: SetLine) -> None:
        self.row += 1
        self.set_item(line)
