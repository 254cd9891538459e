"""The recogniser's opinion on one utterance, before it decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from callout.hearing.embedded.evidence import (
    CLEAR_DB,
    PhoneReading,
    PhraseScore,
    plain_words,
)
from callout.hearing.embedded.network import Encoded, Rows
from callout.hearing.embedded.scoring import Scores
from callout.hearing.embedded.weights import Floats


@dataclass(frozen=True, slots=True)
class Impression:
    """The network's output for one utterance, before the phones are read."""

    frames: Floats
    """Encoder output of the utterance itself, (frames, 288)."""
    scores: Scores
    sounds: Floats
    """The acoustic model's reading of the sound as heard, (frames of 20 ms, phones + 1)."""
    snr_db: float = CLEAR_DB
    """Signal-to-noise ratio of the voice."""
    encoded: tuple[Encoded, Rows] | None = None
    """The recording as the decoder sees it, and its first row; None if it was not kept."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """Everything the decision uses about one utterance; best candidate first."""

    scores: tuple[PhraseScore, ...]
    evidence: tuple[float, ...]
    """Features of the leading phrase, in the order of ``evidence.NETWORK``."""
    reading: PhoneReading
    own: float = 0.0
    """Log-odds added by a comparison with the person's own voice."""
    moved: bool = False
    """True: that comparison put another phrase first than the one the evidence is about."""


SHOWN = 4
"""Number of other candidates named beside the best."""


def other_candidates(scores: tuple[PhraseScore, ...], text: str) -> tuple[tuple[str, float], ...]:
    """Return the other leading candidates with their share of the evidence."""
    total = float(np.logaddexp.reduce([s.standing for s in scores]))
    shares = [(s.text, float(np.exp(s.standing - total))) for s in scores if s.text != text]
    return tuple(shares[:SHOWN])


def contradicted_by_transcript(opinion: Opinion, written: Mapping[str, set[str]]) -> bool:
    """Return True if the free transcript is, word for word, a candidate other than the best.

    Two opinions that name different replies are never certain, whatever the scores say.
    """
    heard = plain_words(opinion.reading.text)
    best = opinion.scores[0].text
    others = (ways for text, ways in written.items() if text != best)
    return heard not in ("", *written[best]) and any(heard in ways for ways in others)
