"""Words in capitals as they would be read."""

from __future__ import annotations

import re

from callout.core.formats.draft_text import as_spoken


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
