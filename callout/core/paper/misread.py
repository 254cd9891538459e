"""Units after a blank or a number, read from a picture as letters that look the same."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.paper.page import Word

_POUNDS: Final = re.compile(r"[|I1l!]b(s?\W?)")
_POUNDS_WITHIN: Final = re.compile(r"(?<=[\d_] )[|I1l!]b(?=s?(?:\W|$))")
_DEGREES: Final = re.compile(r"(\d)\u00b0{1,2}([CF])(?!\w)")
_RUNWAY: Final = re.compile(r"(?:runway|rwy)\W?", re.IGNORECASE)
_VALUE: Final = re.compile(r"[\d_]$")


def with_units(lines: Sequence[Sequence[Word]]) -> Iterator[Word]:
    """Yield the words of ``lines``: "Ib" is a pound there, a small "o" a degree."""
    for line in lines:
        last = ""
        runway = any(_RUNWAY.fullmatch(word.text) for word in line)
        for word in line:
            text = _mended(word.text, last, runway) if word.sure < 1.0 else word.text
            yield word if text == word.text else replace(word, text=text)
            last = text


def _mended(text: str, last: str, runway: bool) -> str:
    """Return the text of a word of a picture; ``last`` is the text before it."""
    text = _POUNDS_WITHIN.sub("lb", text)
    text = _DEGREES.sub("\\1 \u00b0\\2", text).replace("\u00b0\u00b0", "\u00b0")
    if not _VALUE.search(last):
        return text
    pounds = _POUNDS.fullmatch(text)
    if pounds:
        return f"lb{pounds[1]}"
    if text == "o":
        return "\u00b0"
    bare = text.rstrip(",;.")
    if bare == "C" and re.search(r"\d{2}$", last) and not runway:
        return f"\u00b0{text}"  # the small ring was not seen
    return text
