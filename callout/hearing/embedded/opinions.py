"""What the recogniser makes of one utterance before it decides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from callout.hearing.embedded.evidence import (
    CLEAR_DB,
    PhoneReading,
    PhraseScore,
)
from callout.hearing.embedded.scoring import Scores
from callout.hearing.embedded.weights import Floats


@dataclass(frozen=True, slots=True)
class Impression:
    """What the network made of one utterance, before the phones are read."""

    frames: Floats
    """Encoder output of the utterance itself, (frames, 288)."""
    scores: Scores
    sounds: Floats
    """What the acoustic model read off the sound as it was heard, (frames of 20 ms, phones + 1)."""
    snr_db: float = CLEAR_DB
    """How far the voice stands above the room."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """Everything the decision sees of one utterance; best candidate first."""

    scores: tuple[PhraseScore, ...]
    evidence: tuple[float, ...]
    reading: PhoneReading
    own: float = 0.0
    """Log-odds added by a comparison with the person's own voice."""
    moved: bool = False
    """It put another phrase first than the evidence is about."""


SHOWN = 4
"""Other candidates that are named beside the best."""


def alternatives(scores: tuple[PhraseScore, ...], text: str) -> tuple[tuple[str, float], ...]:
    """Return the other leading candidates with their share of the evidence."""
    total = float(np.logaddexp.reduce([s.standing for s in scores]))
    shares = [(s.text, float(np.exp(s.standing - total))) for s in scores if s.text != text]
    return tuple(shares[:SHOWN])
