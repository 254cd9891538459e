"""Combines three opinions into one order of the candidates: decoder, phone reading, acoustic model.

Each opinion becomes a probability over the candidates, with a lower bound: an opinion that is sure
of something else, like the decoder in a crowd, can subtract no more than the bound allows.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from callout.hearing.embedded.evidence import PhraseScore

Doubles = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Share:
    """How one opinion counts."""

    weight: float
    """Weight of its log-probabilities relative to the other opinions."""
    floor: float
    """Natural log of the lowest probability it may give."""
    sharpness: float
    """Factor on its log-probabilities before they are normalised."""

    def of(self, scores: Doubles) -> Doubles:
        """Return the opinion's contribution to the standing of each candidate."""
        scaled = np.exp(self.sharpness * (scores - scores.max()))
        shares: Doubles = self.weight * np.log(scaled / scaled.sum() + np.exp(self.floor))
        return shares


def lead_over(standings: Mapping[str, float], text: str, rivals: Collection[str]) -> float:
    """Return how far a phrase stands above the best of its rivals; infinite without any."""
    there = [standings[rival] for rival in rivals if rival in standings]
    return standings[text] - max(there) if there else math.inf


@dataclass(frozen=True, slots=True)
class Mix:
    """The shares of the three; fitted by ``callout bench fuse``."""

    sound: Share
    decoder: Share
    phones: Share

    @classmethod
    def of(cls, numbers: Sequence[Sequence[float]]) -> Mix:
        """Return the mix of three rows of weight, floor and sharpness."""
        sound, decoder, phones = (Share(*row) for row in numbers)
        return cls(sound, decoder, phones)

    def ranked(self, scores: Sequence[PhraseScore]) -> tuple[PhraseScore, ...]:
        """Return the candidates with their standing, best first."""
        if not scores:
            return ()
        standing = (
            self.sound.of(np.array([s.sound for s in scores]))
            + self.decoder.of(np.array([s.adjusted for s in scores]))
            + self.phones.of(np.array([s.phones for s in scores]))
        )
        rows = zip(scores, standing.tolist(), strict=True)
        weighed = [replace(one, standing=number) for one, number in rows]
        return tuple(sorted(weighed, key=lambda s: s.standing, reverse=True))


EVEN = Mix.of(((1.0, -7.0, 1.0), (1.0, -7.0, 1.0), (0.5, -7.0, 1.0)))
"""An unfitted mix."""
