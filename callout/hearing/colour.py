"""The colour of a voice: its mean cepstrum, which differs more between people than between words.

Mel-frequency cepstral coefficients after Davis and Mermelstein, IEEE Transactions on Acoustics,
Speech, and Signal Processing 28(4), 1980; computed from the loud frames only, with the room's noise
subtracted, and averaged over a word.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from callout.ports.hearing import SAMPLE_RATE, Samples

COEFFICIENTS = 19
_FRAME, _STEP, _FFT = 400, 160, 512
"""25 ms frames every 10 ms."""
_BANDS, _LOW_HZ, _HIGH_HZ = 26, 80.0, 7000.0
_FEWEST = 4
_LOUD_DB = 30.0
"""Frames this far below the loudest, or closer to the room than to it, are left out."""
_ROOM_SHARE = 0.15
"""Share of the frames, the quietest, that count as room noise and are subtracted from the rest."""
_LEFT = 0.05
"""Minimum share of a frame's power left after subtracting the room."""

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]


def colour_of(samples: Samples) -> Floats:
    """Return coefficients 1 to 19 of 16 kHz samples, averaged; zeros for a sound that is too
    short.
    """
    x = samples.astype(np.float64) / 32768.0
    count = (len(x) - _FRAME) // _STEP + 1
    if count < _FEWEST or not np.any(x):
        return np.zeros(COEFFICIENTS, np.float32)
    x = np.append(x[0], x[1:] - 0.97 * x[:-1])
    frames = np.lib.stride_tricks.sliding_window_view(x, _FRAME)[::_STEP] * np.hamming(_FRAME)
    power = np.abs(np.fft.rfft(frames, _FFT)) ** 2
    level = 10.0 * np.log10(power.sum(axis=1) + 1e-12)
    quiet = np.quantile(level, _ROOM_SHARE)
    room = power[level <= quiet].mean(axis=0)
    least = max(level.max() - _LOUD_DB, (level.max() + quiet) / 2.0)
    power = np.maximum(power[level > least] - room, _LEFT * power[level > least])
    logs = np.log(power @ _filter_bank().T + 1e-10)
    mean: Floats = (logs @ _cosine_table().T / (_BANDS / 2)).mean(axis=0).astype(np.float32)
    return mean


@cache
def _filter_bank() -> Doubles:
    edges = _to_hertz(np.linspace(_to_mel(_LOW_HZ), _to_mel(_HIGH_HZ), _BANDS + 2))
    bins = np.fft.rfftfreq(_FFT, 1 / SAMPLE_RATE)
    rows = [
        np.clip(np.minimum((bins - a) / (b - a), (c - bins) / (c - b)), 0.0, None)
        for a, b, c in zip(edges, edges[1:], edges[2:], strict=False)
    ]
    return np.array(rows)


@cache
def _cosine_table() -> Doubles:
    orders = np.arange(1, COEFFICIENTS + 1)[:, None]
    return np.cos(np.pi * orders * (np.arange(_BANDS) + 0.5) / _BANDS)


def _to_mel(hertz: float) -> float:
    return 2595.0 * float(np.log10(1.0 + hertz / 700.0))


def _to_hertz(mel: Doubles) -> Doubles:
    return np.asarray(700.0 * (10.0 ** (mel / 2595.0) - 1.0))
