"""What the recogniser makes of one utterance before it decides."""

from __future__ import annotations

from dataclasses import dataclass

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
