"""Was the best phrase said? There are two ways to be sure of it.

Either the network alone is sure, provided the acoustic model hears no other phrase and all opinions
together do not doubt it; or all opinions weighed together are sure. If more words were heard than
the phrase has, another voice may be in it, and the second way needs a higher probability.

A probability does not say what else may have been said. The worst mistake is to take "on" for
"off", so the best phrase must also lead every contrary one by a margin.
"""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import dataclass, replace
from importlib import resources
from typing import NamedTuple

from callout.hearing.embedded.decision import EmbeddedDecision, shipped_decision
from callout.hearing.embedded.evidence import FEATURES, NETWORK, logistic_curve
from callout.hearing.embedded.standing import EVEN, Mix

SLIP = 1
"""Extra words allowed in a transcript: "Of, uh" for "off"."""
NEVER = 2.0
"""A probability that is never reached."""
SILENT = EmbeddedDecision(0.0, (0.0,) * len(NETWORK), NEVER)
"""A network that is never sure."""
_LEAD, _SOUND_LEAD = FEATURES.index("lead"), FEATURES.index("sound_lead")


class Limits(NamedTuple):
    """The required probabilities and leads, as in the decision."""

    threshold: float
    among_others: float
    agreeing: float
    over_contrary: float


@dataclass(frozen=True, slots=True)
class JointDecision(EmbeddedDecision):
    """A logistic over all evidence beside the network's own; fitted by ``callout bench fuse``."""

    threshold: float = NEVER
    """Lowest probability at which all opinions together are sure."""
    among_others: float = NEVER
    """The same if more words were heard than the phrase has."""
    agreeing: float = 0.0
    """Lowest probability by all opinions together if the network alone is sure."""
    over_contrary: float = 0.0
    """Least lead, natural log of the odds, over every contrary phrase."""
    mix: Mix = EVEN
    """How the opinions rank the candidates."""
    network: EmbeddedDecision = SILENT

    @classmethod
    def within(
        cls,
        limits: Limits,
        bias: float,
        weights: tuple[float, ...],
        mix: Mix,
        network: EmbeddedDecision,
    ) -> JointDecision:
        """Return the decision with these limits."""
        one = cls(bias, weights, limits.threshold, mix=mix, network=network)
        return replace(one, **limits._asdict())

    @property
    def limits(self) -> Limits:
        """What it requires."""
        return Limits(*(getattr(self, name) for name in Limits._fields))

    def by_network(self, evidence: tuple[float, ...], added: float) -> float:
        """Return the network's own probability; 0 if another phrase leads.

        added: log-odds from earlier attempts and the person's own voice.
        """
        if evidence[_LEAD] < 0 or evidence[_SOUND_LEAD] < 0:
            return 0.0
        return logistic_curve(self.network.score(evidence[: len(NETWORK)]) + added)

    def suffices(self, joint: float, alone: float, more_words: bool) -> bool:
        """Return True if one of the two probabilities is high enough."""
        least = self.among_others if more_words else self.threshold
        return joint >= least or (alone >= self.network.threshold and joint >= self.agreeing)

    def leads_enough(self, lead: float, agreed: bool) -> bool:
        """Return True if the best phrase is far enough above those it must not be mistaken for.

        agreed: the free transcript is that phrase; no lead is needed then.
        """
        return agreed or lead >= self.over_contrary

    def confidence_of(self, joint: float, alone: float) -> float:
        """Return the higher of the two; the network's own counts in full if both agree."""
        kept = alone if joint >= self.agreeing else min(alone, self.network.threshold)
        return max(joint, kept)


def more_words(transcript: str, ways: Collection[str]) -> bool:
    """Return True if more words were heard than the longest way to say a phrase has."""
    longest = max((len(way.split()) for way in ways), default=1)
    return len(transcript.split()) > longest + SLIP


def joint_decision() -> JointDecision:
    """Return the shipped decision."""
    text = (resources.files("callout") / "data/hearing/joint_decision.json").read_text("utf-8")
    data = json.loads(text)
    weights = tuple(float(data["weights"][name]) for name in FEATURES)
    limits = Limits(*(float(data[name]) for name in Limits._fields))
    mix, network = Mix.of(data["mix"]), shipped_decision()
    return JointDecision.within(limits, float(data["bias"]), weights, mix, network)
