"""What is read from a picture as letters that look the same: units after a blank or a number, and
circles to tick.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import median
from typing import Final

from callout.core.paper.page import Word

_POUNDS: Final = re.compile(r"[|I1l!]b(s?\W?)")
_POUNDS_WITHIN: Final = re.compile(r"(?<=[\d_] )[|I1l!]b(?=s?(?:\W|$))")
_OFFICER: Final = re.compile(r"^F[I1l|/][O0]$")
_DEGREES: Final = re.compile(r"(\d)\u00b0{1,2}([CF])(?!\w)")
_RUNWAY: Final = re.compile(r"(?:runway|rwy)\W?", re.IGNORECASE)
_VALUE: Final = re.compile(r"[\d_]$")
_ADDED: Final = re.compile(r"\+\d{1,2}")
_SPEED: Final = re.compile(r"[Vv][A-Za-z0-9]{1,4}")
_DOTS: Final = re.compile(r"[.\u2026]{3,}")
_LIKE_SLASH: Final = frozenset("1lI|")
"""Alone between two blanks, each is a slash; where litres are written in, it is their unit."""
LIQUID: Final = re.compile(r"\b(?:fuel|oil|tank|water|uplift|bladder)s?\b", re.IGNORECASE)
"""What is measured in litres."""
_CIRCLES: Final = frozenset("OoQ0\u25cb")
_FEWEST_CIRCLES: Final = 4
_BOX: Final = "\u25a1"


def with_units(lines: Sequence[Sequence[Word]]) -> Iterator[Word]:
    """Yield the words of ``lines``: "Ib" is a pound there, a small "o" a degree."""
    for line in lines:
        last = ""
        runway = any(_RUNWAY.fullmatch(word.text) for word in line)
        liquid = any(LIQUID.match(word.text) for word in line)
        for at, word in enumerate(line):
            text = _mended(word.text, last, runway) if word.sure < 1.0 else word.text
            after = line[at + 1].text if at + 1 < len(line) else ""
            between = last.endswith("_") and after.startswith("_") and word.sure < 1.0
            ends = at + 1 == len(line) or line[at + 1].box.left - word.box.right > word.box.height
            alone = liquid and text == "1" and ends and word.sure < 1.0
            if alone and last[-1:].isdigit():
                text = "l"
            if between and text in _LIKE_SLASH and not liquid:
                text = "/"
            if between and text[:1] == "\u00b0" and text[1:] in _LIKE_SLASH:
                text = "\u00b0 /"
            yield word if text == word.text else replace(word, text=text)
            last = text


def _mended(text: str, last: str, runway: bool) -> str:
    """Return the text of a word of a picture; ``last`` is the text before it."""
    text = _OFFICER.sub("F/O", _POUNDS_WITHIN.sub("lb", text))
    text = _DEGREES.sub("\\1 \u00b0\\2", text).replace("\u00b0\u00b0", "\u00b0")
    pounds = _POUNDS.fullmatch(text)
    if pounds and (_VALUE.search(last) or _DOTS.fullmatch(last)):
        return f"lb{pounds[1]}"
    if _ADDED.fullmatch(text) and (last.endswith("_") or _SPEED.fullmatch(last)):
        return f"+ {text[1:]}"
    if not _VALUE.search(last):
        return text
    if text in ("o", "\u3002"):
        return "\u00b0"
    bare = text.rstrip(",;.")
    if bare == "C" and re.search(r"\d{2}$", last) and not runway:
        return f"\u00b0{text}"  # the small ring was not seen
    return text


def with_circles(lines: Sequence[Sequence[Word]]) -> list[Sequence[Word]]:
    """Return ``lines`` in which a lone O that begins many of them is a box to tick.

    Items with a circle before them, as screens show them: common practice.
    """
    marked = [at for at, line in enumerate(lines) if _begins_with_circle(line)]
    if len(marked) < max(_FEWEST_CIRCLES, len(lines) // 3):
        return list(lines)
    left = median(lines[at][0].box.left for at in marked)
    found = list(lines)
    for at in marked:
        first, *rest = lines[at]
        if abs(first.box.left - left) < 2 * first.box.height:
            found[at] = [replace(first, text=_BOX), *rest]
    return found


def _begins_with_circle(line: Sequence[Word]) -> bool:
    return len(line) > 1 and line[0].sure < 1.0 and line[0].text in _CIRCLES
