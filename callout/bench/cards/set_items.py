"""Items of a card laid out line by line: challenge, separator, response, crew mark."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from callout.bench.cards.set_lines import SetLine
from callout.bench.cards.set_sheet import COLOURS, Sheet

_INLINE: Final[Mapping[str, str]] = {
    "arrow": " \u2192 ", "endash": " \u2013 ", "equals": " = ", "ellipsis1": "\u2026 ",
    "hyphens": " --- ", "colon": ": ", "guillemet": " \u00bb ",
}  # fmt: skip
_LEADERS: Final[Mapping[str, str]] = {
    "dots": ".",
    "ellipsis": "\u2026",
    "middots": "\u00b7 ",
    "dashes": "- ",
    "spaced": ". ",
    "tildes": "~ ",
}
_TABLES: Final = ("columns", "grid", "shade", "hlines")
_ROMAN: Final = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x")
_TAB: Final = 13.0
"""Millimetres between two tab stops."""


class Items(Sheet):
    """Draws items."""

    def set_names(self) -> None:
        """Draw the column headings."""
        self.font(True)
        for (x, _, _), name in zip(self._places(), self.setting.names, strict=True):
            self.put(name, x + 1, self.y)
        self.font()
        self.y += self.line * 1.1

    def _places(self) -> Iterator[tuple[float, float, str]]:
        """Yield left edge, width and part of each column of a table."""
        parts = {
            "first": (("who", 0.14), ("challenge", 0.46), ("response", 0.40)),
            "last": (("challenge", 0.44), ("response", 0.42), ("who", 0.14)),
        }.get(self.setting.who, (("challenge", 0.5), ("response", 0.5)))
        x = self.left
        for part, share in parts:
            yield x, share * self.width, part
            x += share * self.width

    def set_item(self, line: SetLine) -> None:
        """Draw one item at the present height."""
        between = self.setting.between
        if between in _TABLES or (self.setting.who == "first" and self.setting.names):
            self._set_row(line)
        elif between in _INLINE:
            self._set_inline(line, _INLINE[between])
        elif between == "tab":
            self._set_tabbed(line)
        elif between in ("below", "rule"):
            self._set_apart(line)
        else:
            self._set_led(line, _LEADERS.get(between, ""))

    def _prefix(self) -> str:
        """Draw what precedes the item, and return the part that belongs to its text."""
        kind = self.setting.before
        if kind == "box":
            side = self.line * 0.5
            self.pdf.rect(self.left, self.y + self.line * 0.25, side, side)
        letter = "abcdefghijklmnopqrstuvwxyz"[(self.row - 1) % 26]
        return {
            "box": "",
            "bullet": "\u00b7 ",
            "dash": "- ",
            "number": f"{self.row}. ",
            "roman": f"{_ROMAN[(self.row - 1) % len(_ROMAN)]}. ",
            "letter": f"{letter}) ",
        }.get(kind, "")

    def _inset(self) -> float:
        return self.line * 0.9 if self.setting.before == "box" else 0.0

    def _set_row(self, line: SetLine) -> None:
        cells = {
            "challenge": self._prefix() + line.text,
            "response": line.response,
            "who": line.who,
        }
        places = list(self._places())
        made = [(x, width, part, self.wrapped(cells[part], width - 3)) for x, width, part in places]
        deep = max(len(lines) for *_, lines in made)
        height = self.line * (0.8 * deep + 0.3)
        if (self.setting.between == "shade" or self.setting.shade) and self.row % 2:
            self.fill(self.left, self.width, height, COLOURS["light"])
        for x, width, part, lines in made:
            if self.setting.between == "grid":
                self.pdf.rect(x, self.y, width, height)
            self.font(part == "response" and self.setting.response == "bold")
            for at, text in enumerate(lines):
                self._piece(
                    text,
                    x + 1 + (self._inset() if part == "challenge" else 0),
                    self.y + self.line * 0.8 * at,
                )
        self.font()
        self.y += height
        if self.setting.between == "hlines":
            self.pdf.line(self.left, self.y, self.left + self.width, self.y)

    def _set_inline(self, line: SetLine, mark: str) -> None:
        text = f"{self._prefix()}{line.text}{mark}{line.response}"
        inset = self._inset()
        for at, part in enumerate(self.wrapped(text, self.width - inset - 4)):
            self._piece(part, self.left + inset + (6 if at else 0), self.y)
            self.y += self.line

    def _set_tabbed(self, line: SetLine) -> None:
        text = self._prefix() + line.text
        self._piece(text, self.left, self.y)
        stop = (int((self.measure(text) + 2) / _TAB) + 1) * _TAB
        self._piece(line.response, self.left + max(stop, 3 * _TAB), self.y)
        self.y += self.line

    def _set_apart(self, line: SetLine) -> None:
        """Draw the response under the challenge, or beside it behind a vertical rule."""
        self._piece(self._prefix() + line.text, self.left, self.y)
        if self.setting.between == "below":
            self.y += self.line * 0.85
            self._piece(line.response, self.left + 14, self.y)
            self.y += self.line * 1.15
            return
        middle = self.left + self.width * 0.45
        self.pdf.line(middle, self.y, middle, self.y + self.line)
        self._piece(line.response, middle + 3, self.y)
        self.y += self.line

    def _set_led(self, line: SetLine, mark: str) -> None:
        left, right = self.left + self._inset(), self.left + self.width
        if self.setting.after == "box":
            side = self.line * 0.5
            right -= self.line * 1.4
            self.pdf.rect(right + self.line * 0.8, self.y + self.line * 0.25, side, side)
        text = self._prefix() + line.text
        responses = self.wrapped(line.response, self.width * 0.6)
        room = (right - self.left) * 0.97 - self.measure(responses[0]) - (left - self.left)
        for at, part in enumerate(parts := self.wrapped(text, room)):
            self._piece(part, left, self.y)
            if at < len(parts) - 1:
                self.y += self.line * 0.9
        end = left + self.measure(parts[-1])
        for at, part in enumerate(responses):
            start = right - self.measure(part)
            if at == 0 and mark:
                count = int((start - end - 2.5) / self.measure(mark))
                self.put(
                    mark * max(count, 0), start - 1 - self.measure(mark * max(count, 0)), self.y
                )
            self._piece(part, start, self.y)
            self.y += self.line if at == len(responses) - 1 else self.line * 0.9

    def _piece(self, text: str, x: float, y: float) -> None:
        """Draw a text, with blanks in the style of the setting."""
        if self.setting.blanks != "strokes":
            self.put(text.replace("____", "_____"), x, y)
            return
        for at, part in enumerate(text.split("____")):
            if at:
                width = self.measure("_____")
                low = y + self.line * 0.78
                self.pdf.line(x + 0.5, low, x + width - 0.5, low)
                x += width
            if part:
                self.put(part, x, y)
                x += self.measure(part)
