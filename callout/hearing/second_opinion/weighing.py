"""Two opinions weighed together: which phrase was said, and with what certainty.

The first recogniser's standing and the second's likelihoods give one order of the candidates; a
logistic over both opinions on the leader gives a probability. Both are fitted, with speakers held
out, by ``callout bench second``.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from importlib import resources

import numpy as np
from rapidfuzz.distance import Levenshtein

from callout.hearing.embedded.evidence import (
    ACOUSTIC,
    NETWORK,
    PhoneReading,
    PhraseScore,
    logistic_curve,
    plain_words,
)
from callout.hearing.embedded.joint_decision import NEVER, more_words
from callout.hearing.embedded.phrase_book import PhraseSet
from callout.hearing.embedded.standing import Share, lead_over
from callout.hearing.second_opinion.text_scorer import TextReading

FILE = "data/hearing/second_decision.json"
LIMITS = (
    "threshold", "apart", "plausible", "over_contrary", "clear", "clear_of_contrary",
    "clear_of_others",
)  # fmt: skip
"""Names of the required probabilities and leads."""
WORST_TEXT = -20.0
"""Text likelihoods below this carry no more information."""
SURE_ODDS = 8.0
TOGETHER = (
    "odds", "agree", "odds_agreed", "standing_lead", "text_lead", "lead", "text", "text_gap",
    "alike", "same", "silent", "sound_gap", "sound_lead", "more_words", "contradicted", "snr",
    "seconds", "text_lead*standing_lead", "text_gap*standing_lead",
)  # fmt: skip
"""Names of the features of both opinions on the leader."""
OF_FIRST = (*NETWORK, *ACOUSTIC)
"""Names of the features of the first opinion alone on its own best phrase."""
NAMES = (*TOGETHER, *(f"first {name}" for name in OF_FIRST))
"""Names of the features that the decision uses."""


@dataclass(frozen=True, slots=True)
class FirstOpinion:
    """The first recogniser's opinion on one utterance."""

    scores: tuple[PhraseScore, ...]
    """All candidates, best first."""
    confidence: float
    """Probability, 0 to 1, that the best was said."""
    reading: PhoneReading
    evidence: tuple[float, ...]
    """The evidence on the best, in the order of ``evidence.FEATURES``."""


@dataclass(frozen=True, slots=True)
class Leader:
    """The phrase that leads by both opinions, and its features in the order of NAMES."""

    text: str
    evidence: tuple[float, ...]
    standings: Mapping[str, float]
    """Of all candidates, by both opinions."""

    def lead(self, rivals: Collection[str]) -> float:
        """Return how far it stands above the best of the rivals."""
        return lead_over(self.standings, self.text, rivals)

    @property
    def lead_over_all(self) -> float:
        """How far it stands above every other candidate."""
        return self.lead(self.standings.keys() - {self.text})


@dataclass(frozen=True, slots=True)
class SecondDecision:
    """How the second opinion counts."""

    share: Share
    """Weight relative to the first's standing."""
    bias: float
    """Log-odds without evidence."""
    weights: tuple[float, ...]
    """One for each entry of the evidence, in its order."""
    threshold: float = NEVER
    """Lowest probability at which both are sure."""
    apart: float = NEVER
    """The same for a long phrase that sounds like no other."""
    plausible: float = 0.0
    """Lowest probability by the first at which the second is asked."""
    over_contrary: float = 0.0
    """Least lead, natural log of the odds, over every contrary phrase."""
    clear: float = NEVER
    """Lowest probability for a phrase that is clear of all others."""
    clear_of_contrary: float = 0.0
    """Lead over every contrary phrase from which it is clear."""
    clear_of_others: float = 0.0
    """The same over every other phrase."""

    @classmethod
    def shipped(cls) -> SecondDecision:
        """Return the one in the package."""
        data = json.loads((resources.files("callout") / FILE).read_text("utf-8"))
        weights = tuple(float(data["weights"][name]) for name in NAMES)
        limits = (float(data[name]) for name in LIMITS)
        return cls(Share(*data["share"]), float(data["bias"]), weights, *limits)

    def chance(self, evidence: Sequence[float]) -> float:
        """Return the probability, 0 to 1, that the leader was said."""
        return logistic_curve(
            self.bias + sum(w * x for w, x in zip(self.weights, evidence, strict=True))
        )

    def suffices(self, chance: float, leader: Leader, among: PhraseSet) -> bool:
        """Return True if the leader of the phrases listened for is sure.

        A phrase that lies within another one is never clear of it: "locked" may be what was heard
        of "unlocked".
        """
        contraries, text = among.contraries(leader.text), leader.text
        if among.lies_within(text):
            return self.is_likely(chance, leader, contraries)
        if chance >= self.apart and among.stands_apart(text):
            return leader.lead(contraries) >= self.over_contrary
        return self.is_sure(chance, leader, contraries)

    def is_sure(self, chance: float, leader: Leader, contraries: Collection[str]) -> bool:
        """Return True if it is clear of all others, or very likely."""
        return self.is_clear(chance, leader, contraries) or self.is_likely(
            chance, leader, contraries
        )

    def is_likely(self, chance: float, leader: Leader, contraries: Collection[str]) -> bool:
        """Return True if it is very likely, and not close to its contrary."""
        return chance >= self.threshold and leader.lead(contraries) >= self.over_contrary

    def is_clear(self, chance: float, leader: Leader, contraries: Collection[str]) -> bool:
        """Return True if it is likely, and stands far above its contraries and all others."""
        apart = leader.lead(contraries) >= self.clear_of_contrary
        return chance >= self.clear and apart and leader.lead_over_all >= self.clear_of_others

    def leader(
        self, first: FirstOpinion, text: TextReading, ways: Mapping[str, Collection[str]]
    ) -> Leader:
        """Return the phrase that leads by both opinions.

        ways: for each phrase listened for, the ways to write it as plain text. ``first.scores``
        must not be empty.
        """
        texts = np.array([_text(text, one) for one in first.scores])
        together = np.array([s.standing for s in first.scores]) + self.share.of(texts)
        at = int(together.argmax())
        best, others = first.scores[at], [*first.scores[:at], *first.scores[at + 1 :]]
        rest = np.delete(together, at).max(initial=-50.0)
        lead = float(min(together[at] - rest, 12.0))
        mine = ways.get(best.text, ())
        named = _evidence(first, best, others, text, mine)
        named |= {"lead": lead, "contradicted": _contradicted(first, mine, ways)}
        for pair in (name for name in TOGETHER if "*" in name):
            a, b = pair.split("*")
            named[pair] = named[a] * named[b]
        together_on_it = (named[name] for name in TOGETHER)
        evidence = (*together_on_it, *first.evidence[: len(OF_FIRST)])
        standings = {s.text: float(x) for s, x in zip(first.scores, together, strict=True)}
        return Leader(best.text, evidence, standings)


def _evidence(
    first: FirstOpinion,
    best: PhraseScore,
    others: Sequence[PhraseScore],
    text: TextReading,
    ways: Collection[str],
) -> dict[str, float]:
    agree = float(best is first.scores[0])
    odds = log_odds(first.confidence)
    mine, heard, sound = _text(text, best), plain_words(text.text), first.reading.sound
    by_text = max((_text(text, one) for one in others), default=WORST_TEXT)
    by_sound = max((one.sound for one in others), default=-60.0)
    standing = max((one.standing for one in others), default=-50.0)
    return {
        "odds": odds,
        "agree": agree,
        "odds_agreed": odds * agree,
        "standing_lead": _within(best.standing - standing, 12.0),
        "text_lead": _within(mine - by_text, 10.0),
        "text": mine,
        "text_gap": max(mine - max(text.score, WORST_TEXT), -12.0),
        "alike": max((Levenshtein.normalized_similarity(heard, way) for way in ways), default=0.0),
        "same": float(heard in ways),
        "silent": max(text.silent, -12.0),
        "sound_gap": max(best.sound - sound.score, -25.0) / max(best.length, 1),
        "sound_lead": _within(best.sound - by_sound, 15.0),
        "more_words": float(more_words(plain_words(first.reading.text), ways)),
        "snr": min(max(first.reading.snr_db, 0.0), 25.0),
        "seconds": min(sound.frames * 0.02, 4.0),
    }


def _contradicted(
    first: FirstOpinion, mine: Collection[str], ways: Mapping[str, Collection[str]]
) -> float:
    """Return 1 if the first's free transcript is, word for word, another phrase."""
    heard = plain_words(first.reading.text)
    return float(heard not in ("", *mine) and any(heard in other for other in ways.values()))


def _text(text: TextReading, one: PhraseScore) -> float:
    return max(text.phrases.get(one.text, WORST_TEXT), WORST_TEXT)


def log_odds(chance: float) -> float:
    """Return the log-odds of a probability, within SURE_ODDS of none."""
    kept = min(max(chance, 1e-6), 1 - 1e-6)
    return _within(float(np.log(kept / (1 - kept))), SURE_ODDS)


def _within(value: float, limit: float) -> float:
    return max(-limit, min(limit, value))
