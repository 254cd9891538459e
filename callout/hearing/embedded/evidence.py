"""Turns log-likelihoods into evidence about the best phrase."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

from callout.hearing.embedded.weights import Floats

PRIOR = 0.4
"""Share of a phrase's score on mere noise that is subtracted: some words are always likely."""
PHONE_SHARE = 0.5
"""Weight of the phone reading relative to the decoder's score."""
WORST = -25.0
"""Decoder scores below this carry no more information."""
CLEAR_DB = 25.0
"""Above this signal-to-noise ratio, in dB, a voice is not heard any better."""
LONG = 6
"""Phones of a word beyond which length makes no difference; the decision is fitted on single
words.
"""
WORST_PHONES = -40.0
"""Phone scores below this carry no more information."""
WORST_SOUND = -60.0
"""Acoustic scores below this carry no more information."""


@dataclass(frozen=True, slots=True)
class PhraseScore:
    """One candidate's evidence, in natural logarithms."""

    text: str
    raw: float
    """Decoder's log-likelihood, summed over ways of saying and writing."""
    adjusted: float
    """``raw`` minus its share of the score on noise."""
    phones: float = WORST_PHONES
    """Log-probability of its pronunciation in the phone reading, for the best way of saying it."""
    length: int = 4
    """Phones in its usual pronunciation."""
    sound: float = WORST_SOUND
    """Log-probability of its pronunciation in the acoustic model, for the best way of saying it."""
    standing: float = 0.0
    """All opinions together, up to a constant: it orders the candidates."""

    @property
    def combined(self) -> float:
        """Both of the network's opinions together."""
        return self.adjusted + PHONE_SHARE * self.phones


@dataclass(frozen=True, slots=True)
class AcousticReading:
    """What the acoustic model read without candidates."""

    phones: tuple[int, ...] = ()
    score: float = 0.0
    """Log-probability of exactly those phones."""
    frames: int = 0
    """Frames of 20 ms."""
    empty: float = 0.0
    """Sum over the frames of the log-probability of no phone."""

    @classmethod
    def of(cls, phones: tuple[int, ...], score: float, frames: Floats) -> AcousticReading:
        """Return the reading of frames (n, phones + 1) of log-probabilities, with none first."""
        return cls(phones, score, len(frames), float(frames[:, 0].sum()))


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
    """Log-probability of exactly those phones."""
    snr_db: float = CLEAR_DB
    """Signal-to-noise ratio of the voice."""
    sound: AcousticReading = AcousticReading()
    """The acoustic model's reading."""


NETWORK = (
    "lead", "combined", "phones", "phones_each", "phones_lead", "phones_gap", "decoder_lead",
    "gap", "raw", "adjusted", "alike", "same", "agree", "phones_alike", "length", "free",
    "free_words", "snr",
)  # fmt: skip
"""Names of the features from the network's two opinions."""
ACOUSTIC = (
    "standing_lead", "sound_lead", "sound_gap", "sound_gap_each", "sound_each", "sound_alike",
    "sound_first", "seconds", "sound_free", "sound_empty", "sound_longer",
)  # fmt: skip
"""Names of the features from the acoustic model, and from all opinions together."""
_WEIGHED = (
    "sound_lead", "sound_gap_each", "sound_alike", "phones_lead", "decoder_lead", "sound_each",
)  # fmt: skip
PRODUCTS = tuple((a, b) for n, a in enumerate(_WEIGHED) for b in _WEIGHED[n:])
"""How far one opinion counts depends on the others: in a crowd the decoder hears the crowd."""
FEATURES = (*NETWORK, *ACOUSTIC, *(f"{a}*{b}" for a, b in PRODUCTS))
"""Names of the features that ``evidence_features`` returns, in order."""


def plain_words(text: str) -> str:
    """Return lower-case words and digits only, single spaces."""
    return " ".join(re.sub(r"[^a-z0-9 ]", "", text.lower().replace("-", " ")).split())


def noise_adjusted(raw: float, noise: float) -> float:
    """Return a likelihood corrected for how likely the phrase is on mere noise."""
    return max(raw, WORST) - PRIOR * max(noise, WORST)


def evidence_features(
    scores: Sequence[PhraseScore],
    spellings: Sequence[str],
    sounds: Sequence[tuple[int, ...]],
    reading: PhoneReading,
) -> tuple[float, ...]:
    """Return the evidence on ``scores[0]`` as numbers, in the order of FEATURES.

    scores: all candidates, best first. spellings, sounds: the ways to write and pronounce the best
    one, for comparison with what was heard without candidates.
    """
    found = (*_by_network(scores, spellings, sounds, reading), *_by_sound(scores, sounds, reading))
    named = dict(zip((*NETWORK, *ACOUSTIC), found, strict=True))
    return (*found, *(named[a] * named[b] for a, b in PRODUCTS))


def _by_network(
    scores: Sequence[PhraseScore],
    spellings: Sequence[str],
    sounds: Sequence[tuple[int, ...]],
    reading: PhoneReading,
) -> tuple[float, ...]:
    best, others = scores[0], scores[1:]
    heard = plain_words(reading.text)
    known = {plain_words(s) for s in spellings}
    by_decoder = max((o.adjusted for o in others), default=WORST)
    by_phones = max((o.phones for o in others), default=WORST_PHONES)
    raw, free = max(best.raw, WORST), max(reading.score, WORST)
    return (
        min(best.combined - max((o.combined for o in others), default=-50.0), 20.0),
        best.combined,
        best.phones,
        best.phones / max(best.length, 1),
        _clipped_within(best.phones - by_phones, 15.0),
        max(best.phones - reading.phones_score, -20.0),
        _clipped_within(best.adjusted - by_decoder, 12.0),
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


def _by_sound(
    scores: Sequence[PhraseScore], sounds: Sequence[tuple[int, ...]], reading: PhoneReading
) -> tuple[float, ...]:
    best, others, free = scores[0], scores[1:], reading.sound
    lead = best.sound - max((o.sound for o in others), default=WORST_SOUND)
    standing = best.standing - max((o.standing for o in others), default=-50.0)
    gap, length = max(best.sound - free.score, -25.0), max(best.length, 1)
    frames = max(free.frames, 1)
    return (
        min(standing, 12.0),
        _clipped_within(lead, 15.0),
        gap,
        gap / length,
        best.sound / length,
        max((Levenshtein.normalized_similarity(s, free.phones) for s in sounds), default=0.0),
        float(lead >= 0),
        min(free.frames * 0.02, 4.0),
        free.score / frames,
        free.empty / frames,
        min(len(free.phones), 15.0) - min(best.length, LONG),
    )


def logistic_curve(score: float) -> float:
    """Return 1 / (1 + e^-score) without overflow."""
    return 1.0 / (1.0 + math.exp(-max(-60.0, min(60.0, score))))


def _word_for_word(heard: str, known: set[str]) -> float:
    """Return how much it means that the transcript is one of the ways to write the best phrase.

    A single word may match by chance; each further word counts in its favour.
    """
    return float(min(max(len(heard.split()) - 1, 1), 3)) if heard in known else 0.0


def _clipped_within(value: float, limit: float) -> float:
    return max(-limit, min(limit, value))
