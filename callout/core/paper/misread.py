"""Units after a blank or a number, read from a picture as letters that look the same."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.paper.page import Word

_POUNDS: Final = re.compile(r"[|I1l!]b(s?\W?)")
_VALUE: Final = re.compile(r"[\d_]$")


def with_units(lines: Sequence[Sequence[Word]]) -> Iterator[Word]:
    """Yield the words of ``lines``: "Ib" is a pound there, a small "o" a degree."""
    for line in lines:
        last = ""
        for word in line:
            text = word.text
            if word.sure < 1.0 and _VALUE.search(last):
                pounds = _POUNDS.fullmatch(text)
                text = f"lb{pounds[1]}" if pounds else "\u00b0" if text == "o" else text
            yield word if text == word.text else replace(word, text=text)
            last = text
