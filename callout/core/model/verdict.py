"""The judge's verdict on a reply."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Verdict(Enum):
    """Three outcomes; a doubtful reply is never a match."""

    MATCH = "match"
    MISMATCH = "mismatch"
    UNCLEAR = "unclear"


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict on one reply, with a reason a person would accept."""

    verdict: Verdict
    code: str
    """Short stable code for the journal, for example ``opposite`` or ``digit-changed``."""
    reason: str
    """One short sentence for the person."""
    reply: str | None = None
    """The accepted or named-wrong answer that the reply was matched to, as written in the list."""
    words: tuple[str, ...] = ()
    """The reply after normalisation."""
    trace: tuple[str, ...] = ()
    """Which rules were tried and which one decided, one line each."""
