"""Makes free text harmless for a screen, and puts numbers in words."""

from __future__ import annotations

from callout.hidden import escape_hidden

LONGEST = 500
_BREAKS = dict.fromkeys(map(ord, "\t\n\r"), " ")


def shown_text(text: str, longest: int = LONGEST) -> str:
    """Return ``text`` on one line, control characters as visible escapes, cut at ``longest``
    characters.

    Text in a hostile journal must not move the cursor, colour the screen or hide words.
    """
    safe = escape_hidden(text[:longest].translate(_BREAKS))
    return f"{safe}…" if len(text) > longest else safe


def duration_words(seconds: float) -> str:
    """Return "45 s" or "3 min 05 s"."""
    whole = round(seconds)
    return f"{whole} s" if whole < 60 else f"{whole // 60} min {whole % 60:02} s"


def clock_words(seconds: float) -> str:
    """Return session time as "1:05"."""
    whole = int(seconds)
    return f"{whole // 60}:{whole % 60:02}"
