"""Free text made harmless for a screen, and numbers in words."""

from __future__ import annotations

import unicodedata

_HARMFUL = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
"""Controls, invisible marks that turn the direction of writing, line and paragraph breaks."""
LONGEST = 500


def shown(text: str, longest: int = LONGEST) -> str:
    """Return ``text`` on one line, controls as visible escapes, cut at ``longest`` characters.

    What a hostile journal holds must not move the cursor, colour the screen or hide words.
    """
    cut = text[:longest]
    safe = "".join(_visible(c) if unicodedata.category(c) in _HARMFUL else c for c in cut)
    return f"{safe}…" if len(text) > longest else safe


def _visible(character: str) -> str:
    if character in "\t\n\r":
        return " "
    code = ord(character)
    return f"\\x{code:02x}" if code < 256 else f"\\u{code:04x}"


def duration(seconds: float) -> str:
    """Return "45 s" or "3 min 05 s"."""
    whole = round(seconds)
    return f"{whole} s" if whole < 60 else f"{whole // 60} min {whole % 60:02} s"


def clock(seconds: float) -> str:
    """Return session time as "1:05"."""
    whole = int(seconds)
    return f"{whole // 60}:{whole % 60:02}"
