"""Phrases of several words: when the third reading confirms one, or speaks against it.

One word that differs is little in a long phrase, so the whole does not tell whether it was said:
the worst of it does. Where the sound fits the phrase worst, and what was written down besides, are
the evidence. Both decisions are logistics, fitted on near misses by ``callout bench longer``.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from importlib import resources

from rapidfuzz.distance import Levenshtein

from callout.hearing.chain.phrase_fit import PhraseFit
from callout.hearing.embedded.evidence import logistic_curve, plain_words
from callout.hearing.embedded.joint_decision import NEVER
from callout.hearing.second_opinion.weighing import NAMES as BY_TWO
from callout.hearing.second_opinion.weighing import Leader, log_odds

FILE = "data/hearing/longer_decision.json"
WORST_OVER = (3, 5, 8, 12)
"""Outputs of 30 ms in a row."""
WIDEST, DEEPEST = 15.0, 60.0
FIT = (
    *(f"worst {n}" for n in WORST_OVER), "worst word", "lost word", "each", "whole",
    "before", "after", "between", "worst pause",
)  # fmt: skip
WRITTEN = ("alike", "missing", "added")
OF_TWO = (
    "odds", "agree", "lead", "text", "text_gap", "text_lead", "sound_gap", "sound_lead", "snr",
    "seconds",
)  # fmt: skip
CONFIRMING = (
    "both", *OF_TWO, *FIT, *(f"first {name}" for name in WRITTEN),
    *(f"second {name}" for name in WRITTEN), "over_contrary", "heard_over_contrary",
)  # fmt: skip
"""Names of the features of a phrase that two opinions put first and are not sure of."""
GAINSAYING = ("first", *FIT, *(f"first {name}" for name in WRITTEN), "heard_lead")
"""Names of the features of a phrase that the first is sure of."""


@dataclass(frozen=True, slots=True)
class Doubted:
    """A phrase of several words that two opinions put first, and are not sure of."""

    leader: Leader
    chance: float
    """By both."""
    written: tuple[str, str]
    """What each wrote freely."""
    ways: Collection[str]
    """The ways to write the phrase as plain text."""
    over_contrary: float
    """Least lead over a contrary phrase by both."""
    heard_over_contrary: float
    """The same by the third reading."""
    fit: PhraseFit

    def evidence(self) -> tuple[float, ...]:
        """Return the features in the order of CONFIRMING."""
        two = dict(zip(BY_TWO, self.leader.evidence, strict=True))
        return (
            log_odds(self.chance),
            *(two[name] for name in OF_TWO),
            *fit_features(self.fit),
            *written_features(self.written[0], self.ways),
            *written_features(self.written[1], self.ways),
            _within(self.over_contrary),
            _within(self.heard_over_contrary),
        )


@dataclass(frozen=True, slots=True)
class Believed:
    """A phrase of several words that the first is sure of."""

    chance: float
    written: str
    ways: Collection[str]
    heard_lead: float
    """How far the third reading puts it above every other phrase."""
    fit: PhraseFit

    def evidence(self) -> tuple[float, ...]:
        """Return the features in the order of GAINSAYING."""
        return (
            log_odds(self.chance),
            *fit_features(self.fit),
            *written_features(self.written, self.ways),
            _within(self.heard_lead),
        )


def fit_features(fit: PhraseFit) -> tuple[float, ...]:
    """Return the features of a fit in the order of FIT."""
    words = fit.by_word
    return (
        *(fit.worst(n) for n in WORST_OVER),
        min((float(word.mean()) for word in words), default=0.0),
        min((float(word.sum()) for word in words), default=0.0),
        float(fit.behind.mean()),
        max(float(fit.behind.sum()), -DEEPEST),
        *(max(pause, -DEEPEST) for pause in fit.pauses),
        fit.worst_pause(WORST_OVER[1]),
    )


def written_features(written: str, ways: Collection[str]) -> tuple[float, ...]:
    """Return how far a free text agrees with a phrase, in the order of WRITTEN.

    ways: the ways to write the phrase, as plain text.
    """
    text = plain_words(written)
    words = set(text.split())
    meant = [set(way.split()) for way in ways]
    return (
        max((Levenshtein.normalized_similarity(text, way) for way in ways), default=0.0),
        float(min((len(one - words) for one in meant), default=0)),
        float(min((len(words - one) for one in meant), default=0)),
    )


@dataclass(frozen=True, slots=True)
class Weights:
    """A logistic over named features."""

    bias: float
    each: tuple[float, ...]
    least: float
    """Lowest probability that is enough."""

    @classmethod
    def named(cls, kept: Mapping[str, float], names: Sequence[str]) -> Weights:
        """Return those of a file, in the order of the names."""
        weights = dict(kept)
        return cls(weights.pop("bias"), tuple(weights[n] for n in names), weights["least"])

    def chance(self, evidence: Sequence[float]) -> float:
        """Return the probability, 0 to 1, that the phrase was said."""
        return logistic_curve(
            self.bias + sum(w * x for w, x in zip(self.each, evidence, strict=True))
        )


@dataclass(frozen=True, slots=True)
class LongerDecision:
    """How the third reading counts for phrases of several words."""

    confirming: Weights
    gainsaying: Weights
    over_contrary: float = NEVER
    """Least lead over every contrary phrase by the first two."""
    heard_over_contrary: float = NEVER
    """The same by the third reading."""
    certain: float = 0.0
    """Probability from which the first alone is not questioned."""

    @classmethod
    def shipped(cls) -> LongerDecision:
        """Return the one in the package."""
        kept = json.loads((resources.files("callout") / FILE).read_text("utf-8"))
        return cls(
            Weights.named(kept["confirming"], CONFIRMING),
            Weights.named(kept["gainsaying"], GAINSAYING),
            *(float(kept[name]) for name in ("over_contrary", "heard_over_contrary", "certain")),
        )

    def confirms(self, doubted: Doubted, heard_lead: float) -> float | None:
        """Return the probability by all three if it is enough; None if it is not.

        heard_lead: how far the third reading puts the phrase above every other.
        """
        apart = self.is_apart(heard_lead, doubted.over_contrary, doubted.heard_over_contrary)
        chance = self.confirming.chance(doubted.evidence()) if apart else 0.0
        return chance if apart and chance >= self.confirming.least else None

    def is_apart(self, heard_lead: float, over_contrary: float, heard_over_contrary: float) -> bool:
        """Return True if a phrase stands clear of its contraries, and first by the third."""
        return (
            heard_lead >= 0.0
            and over_contrary >= self.over_contrary
            and heard_over_contrary >= self.heard_over_contrary
        )

    def gainsays(self, believed: Believed) -> bool:
        """Return True if the sound speaks against a phrase that the first is sure of."""
        return self.gainsaying.chance(believed.evidence()) < self.gainsaying.least


def _within(lead: float) -> float:
    return max(-WIDEST, min(lead, WIDEST))
