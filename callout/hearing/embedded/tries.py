"""Evidence accumulates: a repeated reply is weighed together with the previous attempt."""

from __future__ import annotations

from dataclasses import dataclass

SHARE = 0.6
"""How much of an earlier attempt's evidence counts: two attempts by one voice are not
independent.
"""
NEUTRAL = 0.0
"""Log-odds at which an attempt says nothing."""


@dataclass(frozen=True, slots=True)
class WeighedTry:
    """The phrase that leads in an attempt, with its log-odds."""

    text: str
    score: float
    """Natural log of the odds."""
    lead: float
    """How far it stands above its contraries."""


@dataclass(frozen=True, slots=True)
class AttemptMemory:
    """The latest doubtful attempt at an item, with what those before it added."""

    score: float = NEUTRAL
    """Log-odds of the leading phrase, minus NEUTRAL."""
    leader: str = ""
    lead: float = 0.0
    """Of the leading phrase, over its contraries."""

    def weigh(self, latest: WeighedTry) -> WeighedTry:
        """Return this attempt's leader with the evidence of earlier ones, if they had the same."""
        if self.leader != latest.text:
            return latest
        score = latest.score + SHARE * max(self.score - NEUTRAL, 0.0)
        return WeighedTry(latest.text, score, latest.lead + SHARE * max(self.lead, 0.0))

    @classmethod
    def of(cls, judged: WeighedTry) -> AttemptMemory:
        """Return the memory of a doubtful attempt."""
        return cls(judged.score, judged.text, judged.lead)
