"""Evidence accumulates: a repeated reply is weighed together with the previous attempt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from callout.hearing.embedded.evidence import PhraseScore

SHARE = 0.6
"""How much of an earlier attempt's evidence counts: two attempts by one voice are not
independent.
"""
NEUTRAL = 0.0
"""Log-odds at which an attempt says nothing."""


@dataclass(frozen=True, slots=True)
class WeighedTry:
    """The phrase that leads over all attempts, with its log-odds."""

    text: str
    score: float
    """Natural log of the odds."""


@dataclass(frozen=True, slots=True)
class AttemptMemory:
    """Doubtful attempts at one item so far."""

    combined: dict[str, float] = field(default_factory=dict)
    """Sum of earlier evidence per phrase."""
    score: float = NEUTRAL
    """Log-odds of the leading phrase, minus NEUTRAL."""
    leader: str = ""

    def weigh(self, scores: Sequence[PhraseScore], score: float) -> WeighedTry:
        """Return the leader over this attempt and the earlier ones.

        score: the decision's log-odds for ``scores[0]`` on this attempt alone. If the leaders
        agree, evidence is added; a change of leader subtracts some.
        """
        best = scores[0].text
        if not self.leader:
            return WeighedTry(best, score)
        if self.leader == best:
            return WeighedTry(best, score + SHARE * max(self.score - NEUTRAL, 0.0))
        return WeighedTry(best, score)

    def after(self, scores: Sequence[PhraseScore], score: float) -> AttemptMemory:
        """Return the memory with this doubtful attempt added."""
        summed = {s.text: s.combined + self.combined.get(s.text, 0.0) for s in scores}
        return AttemptMemory(summed, score, scores[0].text)
