"""Words as cards print them: emphasis, capitals, alternatives, the completion call."""

from __future__ import annotations

import re
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
