"""From log-likelihoods to evidence about the best phrase."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

PRIOR = 0.4
"""Share of a phrase's score on mere noise that is taken off: some words are always likely."""
PHONE_SHARE = 0.5
"""Weight of the phone reading beside the decoder's score."""
WORST = -25.0
"""Decoder scores below this say nothing more."""
CLEAR_DB = 25.0
"""A voice this far above the room is not heard any better for standing further."""
LONG = 6
"""Phones of a word beyond which length tells no more; the decision is fitted on single words."""
WORST_PHONES = -40.0
"""Phone scores below this say nothing more."""


@dataclass(frozen=True, slots=True)
class PhraseScore:
    """One candidate's evidence, natural logarithms throughout."""

    text: str
    raw: float
    """Decoder's log-likelihood, summed over ways of saying and writing."""
    adjusted: float
    """``raw`` less its share of the score on noise."""
    phones: float = WORST_PHONES
    """Log-probability of its pronunciation in the phone reading, best way of saying."""
    length: int = 4
    """Phones in its usual pronunciation."""

    @property
    def combined(self) -> float:
        """Both opinions together; the order of the candidates."""
        return self.adjusted + PHONE_SHARE * self.phones


@dataclass(frozen=True, slots=True)
class PhoneReading:
    """What was heard without candidates."""

    text: str
    """Free transcript of the decoder."""
    score: float
    """Its log-likelihood."""
    phones: tuple[int, ...] = ()
    """Phones read frame by frame."""
    phones_score: float = 0.0
    """Log-probability of exactly those."""
    snr_db: float = CLEAR_DB
    """How far the voice stands above the room."""


FEATURES = (
    "lead", "combined", "phones", "phones_each", "phones_lead", "phones_gap", "decoder_lead",
    "gap", "raw", "adjusted", "alike", "same", "agree", "phones_alike", "length", "free",
    "free_words", "snr",
)  # fmt: skip
"""Names of the numbers that ``features`` returns, in order."""


def plain(text: str) -> str:
    """Return lower-case words and digits only, single spaces."""
    return " ".join(re.sub(r"[^a-z0-9 ]", "", text.lower().replace("-", " ")).split())


def adjusted(raw: float, noise: float) -> float:
    """Return a likelihood corrected for how likely the phrase is on mere noise."""
    return max(raw, WORST) - PRIOR * max(noise, WORST)


def features(
    scores: Sequence[PhraseScore],
    spellings: Sequence[str],
    sounds: Sequence[tuple[int, ...]],
    reading: PhoneReading,
) -> tuple[float, ...]:
    """Return the evidence on ``scores[0]`` as numbers, in the order of FEATURES.

    scores: all candidates, best first. spellings, sounds: the ways the best one may be written
    and pronounced, for comparison with what was heard without candidates.
    """
    best, others = scores[0], scores[1:]
    heard = plain(reading.text)
    known = {plain(s) for s in spellings}
    by_decoder = max((o.adjusted for o in others), default=WORST)
    by_phones = max((o.phones for o in others), default=WORST_PHONES)
    raw, free = max(best.raw, WORST), max(reading.score, WORST)
    return (
        min(best.combined - max((o.combined for o in others), default=-50.0), 20.0),
        best.combined,
        best.phones,
        best.phones / max(best.length, 1),
        _within(best.phones - by_phones, 15.0),
        max(best.phones - reading.phones_score, -20.0),
        _within(best.adjusted - by_decoder, 12.0),
        raw - free,
        raw,
        best.adjusted,
        max((Levenshtein.normalized_similarity(heard, k) for k in known), default=0.0),
        _word_for_word(heard, known),
        float(best.adjusted >= by_decoder) + float(best.phones >= by_phones),
        max((Levenshtein.normalized_similarity(s, reading.phones) for s in sounds), default=0.0),
        float(min(best.length, LONG)),
        free,
        float(min(len(heard.split()), 8)),
        min(max(reading.snr_db, 0.0), CLEAR_DB),
    )


def logistic(score: float) -> float:
    """Return 1 / (1 + e^-score) without overflow."""
    return 1.0 / (1.0 + math.exp(-max(-60.0, min(60.0, score))))


def _word_for_word(heard: str, known: set[str]) -> float:
    """Return how much it tells that the transcript is one of the ways to write the best phrase.

    One word may be that by chance; of several words each further one speaks for it.
    """
    return float(min(max(len(heard.split()) - 1, 1), 3)) if heard in known else 0.0


def _within(value: float, limit: float) -> float:
    return max(-limit, min(limit, value))
