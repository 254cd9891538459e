"""When a third reading confirms what two opinions together put first, or speaks against the first.

It never puts another phrase first, and is asked about single words only. A logistic over the two
opinions' probability and the chain model's leads gives a new one; fitted, with speakers held out,
by ``callout bench third``. What the first is sure of, but not nearly certain, it speaks against if
it hears the contrary.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from importlib import resources

from callout.hearing.chain.reading import ChainReading
from callout.hearing.embedded.evidence import logistic_curve
from callout.hearing.embedded.joint_decision import NEVER
from callout.hearing.embedded.standing import lead_over
from callout.hearing.second_opinion.weighing import FirstOpinion, Leader, log_odds

FILE = "data/hearing/third_decision.json"
LIMITS = (
    "threshold", "over_contrary", "heard_over_contrary", "certain", "contrary_ahead", "contrary_gap"
)  # fmt: skip
NAMES = (
    "second", "first", "agree", "lead", "heard_lead", "heard_behind", "gap", "whole_gap",
    "seconds", "heard_lead*second",
)  # fmt: skip
"""Names of the features that the decision uses."""
WIDEST_LEAD, WIDEST_GAP, DEEPEST_GAP = 15.0, 1.2, 60.0
OUTPUT_S = 0.03


@dataclass(frozen=True, slots=True)
class Confirmation:
    """What the chain model says of the phrase that leads by the first two."""

    evidence: tuple[float, ...]
    """Features in the order of NAMES."""
    lead: float
    """How far the chain model puts it above every other phrase; below 0: another is first."""
    over_rivals: float
    """The same over every phrase that it must not be mistaken for."""


def confirmation(
    reading: ChainReading,
    leader: Leader,
    chance: float,
    first: FirstOpinion,
    rivals: Collection[str],
) -> Confirmation | None:
    """Return what it says; None if it cannot score the phrase.

    chance: the probability by the first two; rivals: what it must not be mistaken for.
    """
    heard = reading.phrases
    if leader.text not in heard or not reading.outputs:
        return None
    lead = lead_over(heard, leader.text, heard.keys() - {leader.text})
    kept = max(-WIDEST_LEAD, min(lead, WIDEST_LEAD))
    gap = heard[leader.text] - reading.free
    second = log_odds(chance)
    evidence = (
        second,
        log_odds(first.confidence),
        float(leader.text == first.scores[0].text),
        max(-8.0, min(leader.lead_over_all, 8.0)),
        kept,
        min(kept, 0.0),
        max(gap / reading.outputs, -WIDEST_GAP),
        max(gap, -DEEPEST_GAP),
        min(reading.outputs * OUTPUT_S, 3.6),
        kept * second / 10.0,
    )
    return Confirmation(evidence, lead, lead_over(heard, leader.text, rivals))


@dataclass(frozen=True, slots=True)
class ThirdDecision:
    """How the third reading counts."""

    bias: float
    weights: tuple[float, ...]
    """One for each entry of the evidence, in its order."""
    threshold: float = NEVER
    """Lowest probability at which all three are sure."""
    over_contrary: float = 0.0
    """Least lead over every contrary phrase by the first two."""
    heard_over_contrary: float = 0.0
    """The same by the chain model."""
    certain: float = 0.0
    """Probability from which the first alone is not questioned."""
    contrary_ahead: float = 0.0
    """How far a contrary phrase must be above what the first heard to speak against it."""
    contrary_gap: float = -WIDEST_GAP
    """Least gap of that phrase to any phones, for each output: it must fit the sound itself."""

    @classmethod
    def shipped(cls) -> ThirdDecision:
        """Return the one in the package."""
        data = json.loads((resources.files("callout") / FILE).read_text("utf-8"))
        weights = tuple(float(data["weights"][name]) for name in NAMES)
        return cls(float(data["bias"]), weights, *(float(data[name]) for name in LIMITS))

    def chance(self, evidence: Sequence[float]) -> float:
        """Return the probability, 0 to 1, that the leader was said."""
        return logistic_curve(
            self.bias + sum(w * x for w, x in zip(self.weights, evidence, strict=True))
        )

    def confirms(self, chance: float, found: Confirmation, over_contrary: float) -> bool:
        """Return True if all three are sure; over_contrary: the lead by the first two."""
        return (
            chance >= self.threshold
            and found.lead >= 0.0
            and found.over_rivals >= self.heard_over_contrary
            and over_contrary >= self.over_contrary
        )

    def opposes(
        self, reading: ChainReading, text: str, chance: float, rivals: Collection[str]
    ) -> bool:
        """Return True if a contrary phrase, one of ``rivals``, is heard instead of ``text``.

        chance: the probability by the first alone, which is sure of it.
        """
        heard = reading.phrases
        against = max((heard[one] for one in rivals if one in heard), default=None)
        if chance >= self.certain or text not in heard or against is None:
            return False
        return (
            against - heard[text] > self.contrary_ahead
            and (against - reading.free) / reading.outputs >= self.contrary_gap
        )
