"""The values of a response that are written in: its blanks, with their names and units."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.guesses import Blank
from callout.core.authoring.quantities import (
    LABEL,
    SIDES,
    blank_of,
    is_measured,
    without_unit_ahead,
)

BLANKS: Final = re.compile(
    r"_{2,}(?:\s?[.:]\s?_{1,}|,_{1,2}(?!_))*|\[\s{1,}\]|\[_+\]|\(\s*_+\s*\)|<\s*+(?:_++\s*+)?>|\?{2,}"
    r"|\bX{2,4}(?:\.X{1,3})?\b|(?<!\u2026)\u2026++(?=\s*+[A-Za-z%])|\.{3,}"
)
_LIQUID: Final = re.compile(r"\b(?:fuel|oil|tank|water|uplift|bladder)s?\b", re.IGNORECASE)
_MISREAD: Final = re.compile(r"\s*[1I|](?=\s*(?:$|[,(+/&]))")
"""A small "l" after a blank, as pictures are read."""
_OWN_BRACES: Final = re.compile(r"\{([a-z][a-z0-9_ +*/.-]*)\}|[{}]")
"""A value in the style of our own lists, or a meaningless brace."""
_CLOSED: Final = re.compile(r"^\s*[)\]]\s*")
"""A bracket that closes what was not seen."""
_LINKS: Final = re.compile(r"(?:from|at|to|for|in|of|by|on)\b|\(", re.IGNORECASE)
"""Words that join a value to the one before it."""
_DIVIDED: Final = re.compile(r"[,;/&+]|\band\b", re.IGNORECASE)
_NAME: Final = re.compile(r"\s*[A-Za-z][A-Za-z0-9]{1,4}\s*")
_RIGHT: Final = re.compile(r"[\s,/;]*(?:R|RH|right)\s*", re.IGNORECASE)


def with_quantities(text: str, challenge: str) -> tuple[str, tuple[Blank, ...]]:
    """Return ``text`` with each blank as a quantity in braces; a unit alone has lost its blank."""
    text = _OWN_BRACES.sub(lambda m: m[0] if m[1] else {"{": "(", "}": ")"}[m[0]], text)
    if _CLOSED.match(text) and is_measured(_CLOSED.sub("", text, count=1)):
        text = _CLOSED.sub("", text, count=1)  # the blank was in the brackets
    found = list(BLANKS.finditer(text))
    if not found and is_measured(text):
        text, found = f"____ {text}", list(BLANKS.finditer(f"____ {text}"))
    text, found = _with_left(text, found)
    named = _are_named(text, found)
    blanks: list[Blank] = []
    parts: list[str] = []
    at = 0
    for number, blank in enumerate(found):
        before = text[at : blank.start()]
        after = text[blank.end() : found[number + 1].start() if number + 1 < len(found) else None]
        told = "" if named and number + 1 < len(found) else after
        made, used = blank_of(challenge, before, told, len(found), number)
        if not used and _LIQUID.search(challenge) and (misread := _MISREAD.match(after)):
            made, used = replace(made, kind="volume", unit="L"), misread.end()
        blanks.append(made)
        before = before if number or used else without_unit_ahead(before)
        parts.append(f"{_spelt_label(before.strip(), number)} {{{made.name}}}")
        at = blank.end() + used
    last = text[at:].strip()
    whole = "".join(parts).strip() + (f" {last}" if last else "")
    whole = re.sub(r"\(\s+", "(", " ".join(whole.split()))
    return re.sub(r"(?<!\s)\s+([,.)])", r"\1", whole), tuple(blanks)


def _are_named(text: str, found: Sequence[re.Match[str]]) -> bool:
    """Say whether a short name stands before each blank, and nothing after: "VX __ VAC __".

    What could be a unit of one value is the name of the next.
    """
    starts = (0, *(blank.end() for blank in found[:-1]))
    before = [text[at : blank.start()] for at, blank in zip(starts, found, strict=False)]
    plain = len(found) > 1 and all(_NAME.fullmatch(name) for name in before)
    return plain and not text[found[-1].end() :].strip()


def _with_left(text: str, found: list[re.Match[str]]) -> tuple[str, list[re.Match[str]]]:
    """Return a reply with the name of the left side, which a picture lost: "____ R ____"."""
    if len(found) != 2 or text[: found[0].start()].strip():
        return text, found
    if _RIGHT.fullmatch(text[found[0].end() : found[1].start()]) is None:
        return text, found
    text = f"L {text}"
    return text, list(BLANKS.finditer(text))


def _spelt_label(before: str, number: int) -> str:
    """Return the text before a blank; "L" and "R" are sides, and blanks are clauses."""
    label = LABEL.search(before)
    if label and label[1].casefold() in SIDES:
        before = before[: label.start(1)] + SIDES[label[1].casefold()]
    if number == 0:
        return before
    if _LINKS.match(before):
        return f" {before}"
    found = next(reversed(list(_DIVIDED.finditer(before))), None)
    head, tail = (before[: found.start()], before[found.end() :]) if found else ("", before)
    return f" {head.strip()}, {tail.strip()}"
