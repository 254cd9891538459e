"""Words, symbols and colours of the terminal; no meaning is carried by colour alone.

Warning, caution and advisory colours follow 14 CFR 25.1322: red only for what must be acted on
now, amber for what needs attention, neither for anything else.
"""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.verdict import Verdict
from callout.core.view_model import Doing, Status


@dataclass(frozen=True, slots=True)
class Look:
    """How one thing is shown."""

    symbol: str
    ascii: str
    """The same where the terminal has no such symbol."""
    style: str


STATUS: dict[Status, Look] = {
    Status.PENDING: Look("·", ".", ""),
    Status.CURRENT: Look("▶", ">", "bold"),
    Status.ANSWERED: Look("✓", "x", "green"),
    Status.SKIPPED: Look("↷", "s", "yellow"),
    Status.DEFERRED: Look("↻", "d", "yellow"),
    Status.NOT_APPLICABLE: Look("⊘", "-", "dim"),
    Status.LEFT_OPEN: Look("!", "!", "yellow"),
}

VERDICT: dict[Verdict, Look] = {
    Verdict.MATCH: Look("✓", "OK", "green"),
    Verdict.MISMATCH: Look("✗", "X", "bold red"),
    Verdict.UNCLEAR: Look("?", "?", "yellow"),
}

VERDICT_WORD = {
    Verdict.MATCH: "RIGHT",
    Verdict.MISMATCH: "MISMATCH",
    Verdict.UNCLEAR: "UNCLEAR",
}

DOING: dict[Doing, Look] = {
    Doing.SPEAKING: Look("♪", "~", "cyan"),
    Doing.LISTENING: Look("●", "o", "cyan"),
    Doing.WAITING: Look("⌨", "_", "cyan"),
    Doing.HOLDING: Look("‖", "||", "bold yellow"),
    Doing.ENDED: Look("■", "#", ""),
}


def symbol(look: Look, encoding: str) -> str:
    """Return the symbol that a stream of this encoding can show."""
    try:
        look.symbol.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return look.ascii
    return look.symbol
