"""Detects an echoing room from how fast words decay."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from callout.ports.hearing import SAMPLE_RATE, Samples

ECHOING = -215.0
"""Decibels per second; a room echoes if the median of the words' steepest falls is slower than
this.

Chosen on 126 recordings: of five drawn at random the median lay above it in 1 to 2 % as recorded,
in 91 to 100 % one or two metres away in simulated rooms of RT60 0.4 to 0.6 s, in 66 to 85 % at half
a metre.
"""
LEAST_SNR_DB = 30.0
"""Below this, noise hides the end of a word: at 22 dB one quiet room in five would seem to echo."""
FEWEST = 3
_FRAME = SAMPLE_RATE // 100
_FALL = 8
"""Frames of 10 ms over which a fall is measured."""
_UPPER_DB = 20.0
"""A fall begins within this of the loudest frame."""


def steepest_fall(samples: Samples) -> float | None:
    """Return the steepest fall of an utterance in dB per second (below 0); None if it is too short.

    Sound in a room decays by 60 dB in its reverberation time (ISO 3382): no word can fall faster
    than -60 / RT60.
    """
    voice = samples.astype(np.float64) - (float(samples.mean()) if len(samples) else 0.0)
    whole = voice[: len(voice) // _FRAME * _FRAME].reshape(-1, _FRAME)
    if len(whole) <= _FALL:
        return None
    level = 10.0 * np.log10(np.mean(whole**2, axis=1) + 1.0)
    times = (np.arange(_FALL) - (_FALL - 1) / 2) * _FRAME / SAMPLE_RATE
    runs = np.lib.stride_tricks.sliding_window_view(level, _FALL)
    slopes = runs @ times / np.sum(times**2)
    return float(slopes[runs[:, 0] > level.max() - _UPPER_DB].min(initial=0.0))


def room_echoes(words: Iterable[Samples], snr_db: float | None) -> bool:
    """Return True if the room echoes; False also if noise hides it or there are too few words."""
    if snr_db is None or snr_db < LEAST_SNR_DB:
        return False
    falls = [fall for word in words if (fall := steepest_fall(word)) is not None]
    return len(falls) >= FEWEST and float(np.median(falls)) > ECHOING
