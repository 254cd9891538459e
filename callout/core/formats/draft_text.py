"""Words as cards print them: emphasis, capitals, alternatives, the completion call."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

_CALL: Final = re.compile(r"\bchecklist[\w ]{0,60} completed?$", re.IGNORECASE)
_IN_CALL: Final = re.compile(r"[\w ,'-]+")
_ALTERNATIVE: Final = re.compile(r"(?<=\s)(?:/|or)(?=\s)", re.IGNORECASE)


def reply_alternatives(text: str) -> tuple[str, ...]:
    """Return the replies in one cell or after one challenge: "on / both on" gives two."""
    parts = (clean_markdown(part) for part in _ALTERNATIVE.split(text))
    return tuple(dict.fromkeys(part for part in parts if part))


def clean_markdown(text: str) -> str:
    """Return ``text`` without Markdown emphasis, quotes around it and double spaces."""
    bare = re.sub(r"(\*\*|__|`)", "", text)
    bare = re.sub(r"(?<!\w)\*([^*]+)\*(?!\w)", r"\1", bare)
    bare = re.sub(r"(?<!\w)_([^_]+)_(?!\w)", r"\1", bare)
    return " ".join(bare.split()).strip(" \"'\u201c\u201d.;")


def as_spoken(text: str) -> str:
    """Return words in capitals as they would be read: lower case, short names unchanged."""
    return " ".join(map(_as_spoken, text.split())) if text.isupper() else text


def _as_spoken(word: str) -> str:
    bare = word.strip("(),.;").casefold()
    short_name = (len(bare) <= 3 and bare not in _ORDINARY) or not set(bare) & set("aeiouy")
    return word if short_name or any(c.isdigit() for c in word) else word.casefold()


_ORDINARY: Final = frozenset({
    "a", "all", "and", "arm", "as", "at", "by", "for", "gas", "in", "low", "map", "mid", "no",
    "not", "of", "off", "oil", "on", "one", "or", "out", "pin", "run", "see", "set", "six",
    "ten", "the", "tie", "tip", "to", "two", "up", "use", "yes",
})  # fmt: skip
"""Short words that are not abbreviations."""


def completion_words(line: str) -> str:
    """Return the words of the completion call; empty if there are none."""
    words = [at for at, char in enumerate(line) if char.isalnum() or char == "_"]
    bare = line[words[0] : words[-1] + 1] if words else ""
    return bare if _CALL.search(bare) and _IN_CALL.fullmatch(bare) else ""


def small_letters(text: str) -> str:
    """Return capitals as lower-case words; text in braces is left alone."""
    outside = re.sub(r"\{[^{}]*\}", " ", text)
    if not outside.isupper():
        first, _, rest = text.partition(" ")
        titled = first.istitle() and len(first) > 1 and not re.search(r"[A-Z]", rest)
        return text[:1].lower() + text[1:] if titled else text
    return "".join(
        part if part.startswith("{") else spoken_words(part)
        for part in re.split(r"(\{[^{}]*\})", text)
    )


def spoken_words(text: str) -> str:
    """Return a text in capitals as it would be read, with its spaces kept."""
    return "".join(p if p.isspace() else as_spoken(p) for p in re.split(r"(\s+)", text))


def are_positions(parts: Sequence[str]) -> bool:
    """Say whether the parts are positions of one selector: "2 / 3 / OFF", "20 / FULL"."""
    if len(set(parts)) == len(parts) and all(_DETENT.fullmatch(part) for part in parts):
        return True
    named = [part.casefold() in _POSITIONS for part in parts]
    return any(named) and all(
        known or re.fullmatch(r"\d{1,2}\u00b0?", part)
        for known, part in zip(named, parts, strict=True)
    )


_DETENT: Final = re.compile(r"\d{1,2}\u00b0?")
"""A bare number as a selector has it: no control stands at two."""
_POSITIONS: Final = frozenset({
    "off", "auto", "full", "up", "lo", "low", "med", "medium", "hi", "high", "min", "max", "rto",
    "norm", "half", "man", "alt", "both",
})  # fmt: skip
"""Positions of selectors. Common practice."""


def calls_complete(text: str, names: Iterable[str]) -> bool:
    """Say whether a line calls a list or a section of one of ``names`` complete."""
    found = _CALLED.fullmatch(text.strip(_AROUND_CALL))
    return found is not None and found[1].casefold() in map(str.casefold, names)


_CALLED: Final = re.compile(
    r"(.+?) (?:check ?list |checks? |items )?(?:is )?completed?", re.IGNORECASE
)
_AROUND_CALL: Final = " -\u2013\u2014*.\u2022\"'"
