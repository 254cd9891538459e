"""Words, symbols and colours of the terminal; nothing is shown by colour alone.

Warning, caution and advisory colours follow 14 CFR 25.1322: red only for what needs action now,
amber for what needs attention, neither for anything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from callout.core.conversation.view_model import Doing, Status
from callout.core.model.verdict import Verdict


class Colours(Enum):
    """Colour sets for the terminal."""

    DARK = "dark"
    """Light letters on a dark background."""
    LIGHT = "light"
    """Dark letters on a light background."""
    NONE = "none"


PALETTES: dict[Colours, dict[str, str]] = {
    Colours.DARK: {
        "good": "#00d787",
        "attention": "bold #ffbf00",
        "alert": "bold #ff6b6b",
        "active": "#00d7ff",
        "quiet": "#b2b2b2",
    },
    Colours.LIGHT: {
        "good": "#00602b",
        "attention": "bold #7a4a00",
        "alert": "bold #a80000",
        "active": "#00487a",
        "quiet": "#4e4e4e",
    },
    Colours.NONE: {
        "good": "none",
        "attention": "bold",
        "alert": "bold reverse",
        "active": "none",
        "quiet": "none",
    },
}
"""Styles by meaning; red only for a mismatch and for trouble that needs action now."""


@dataclass(frozen=True, slots=True)
class ThemeLook:
    """How one thing is shown."""

    symbol: str
    ascii: str
    """The same for a terminal without that symbol."""
    style: str


STATUS: dict[Status, ThemeLook] = {
    Status.PENDING: ThemeLook("·", ".", ""),
    Status.CURRENT: ThemeLook("▶", ">", "bold"),
    Status.ANSWERED: ThemeLook("✓", "x", "good"),
    Status.SKIPPED: ThemeLook("↷", "s", "attention"),
    Status.DEFERRED: ThemeLook("↻", "d", "attention"),
    Status.NOT_APPLICABLE: ThemeLook("⊘", "-", "quiet"),
    Status.LEFT_OPEN: ThemeLook("!", "!", "attention"),
    Status.DUE: ThemeLook("»", "*", "bold"),
}

VERDICT: dict[Verdict, ThemeLook] = {
    Verdict.MATCH: ThemeLook("✓", "OK", "good"),
    Verdict.MISMATCH: ThemeLook("✗", "X", "alert"),
    Verdict.UNCLEAR: ThemeLook("?", "?", "attention"),
}

VERDICT_WORD = {
    Verdict.MATCH: "RIGHT",
    Verdict.MISMATCH: "MISMATCH",
    Verdict.UNCLEAR: "UNCLEAR",
}

DOING: dict[Doing, ThemeLook] = {
    Doing.SPEAKING: ThemeLook("♪", "~", "active"),
    Doing.LISTENING: ThemeLook("●", "o", "active"),
    Doing.WAITING: ThemeLook("⌨", "_", "active"),
    Doing.HOLDING: ThemeLook("‖", "||", "attention"),
    Doing.ENDED: ThemeLook("■", "#", ""),
}


def look_symbol(look: ThemeLook, encoding: str) -> str:
    """Return the symbol that a stream with this encoding can show."""
    try:
        look.symbol.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return look.ascii
    return look.symbol
