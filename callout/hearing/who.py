"""Which of two enrolled people spoke: the colour of the voice, and how they say that very word.

The covariance is that of mean cepstra of single words, clean and in cabin noise of 20, 10 and 5 dB,
about the speaker's clean mean, over 17 speakers of the shared recordings; the weight of the colour
is a logistic over their pairs, that of the word one over 125 pairs at 10 dB.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib import resources

import numpy as np

from callout.hearing.voices import Floats, Voice

SURE = 0.98
"""Lowest probability at which a voice is named."""


@dataclass(frozen=True, slots=True)
class Likeness:
    """Fitted numbers of the comparison."""

    inverse: Floats
    """Inverse within-speaker covariance of mean cepstra, (19, 19)."""
    by_colour: float
    """Weight of the distance between mean cepstra."""
    by_word: float
    """Weight of the distance between takes of one word."""

    @classmethod
    def shipped(cls) -> Likeness:
        """Return the fitted numbers."""
        text = (resources.files("callout") / "data/hearing/who.json").read_text("utf-8")
        data = json.loads(text)
        return cls(np.array(data["inverse"], np.float32), data["by_colour"], data["by_word"])


class Who:
    """Tells two or more enrolled people apart."""

    def __init__(self, voices: Sequence[Voice], likeness: Likeness | None = None) -> None:
        self._likeness = likeness or Likeness.shipped()
        self._colours = {
            voice.name: np.mean([take.colour for take in voice.takes], axis=0)
            for voice in voices
            if voice.takes
        }
        self._spread = {v.name: 1.0 + 1.0 / len(v.takes) for v in voices if v.takes}
        """How much a new word spreads about a mean of so few, relative to the covariance."""

    def chances(self, colour: Floats, word: Mapping[str, float]) -> dict[str, float]:
        """Return the probability of each person, assuming it was one of them.

        colour: of the utterance. word: distance of each person's nearest take of the word heard;
        empty if it is not an enrolled word.
        """
        if len(self._colours) < 2 or not np.any(colour):
            return {}
        known = all(name in word for name in self._colours)
        scores = {name: self._score(name, colour) for name in self._colours}
        if known:
            scores = {n: s - self._likeness.by_word * word[n] for n, s in scores.items()}
        top = max(scores.values())
        odds = {name: math.exp(score - top) for name, score in scores.items()}
        return {name: value / sum(odds.values()) for name, value in odds.items()}

    def _score(self, name: str, colour: Floats) -> float:
        """Return the log of the predictive normal density, weighted; without its constant."""
        apart = colour - self._colours[name]
        spread = self._spread[name]
        far = float(apart @ self._likeness.inverse @ apart) / spread
        return -self._likeness.by_colour * (far + len(apart) * math.log(spread))


def named_speaker(chances: Mapping[str, float], least: float = SURE) -> str:
    """Return who spoke if it is clear, else an empty text."""
    name = max(chances, key=lambda n: chances[n], default="")
    return name if name and chances[name] >= least else ""
