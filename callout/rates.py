"""Bring sound from one rate to another: a windowed sinc, computed with numpy.

Output samples lie between input samples; each is a weighed sum of those around it (band-limited
interpolation, J. O. Smith, "Digital Audio Resampling", 2002). The weights are tabled finely enough
that the error stays below that of 16 bits, so any two rates will do and no library is needed.
"""

from __future__ import annotations

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_ZEROS = 40
"""Zero crossings of the sinc on either side."""
_ROLLOFF = 0.94
"""Where the filter is half way down, as a share of half the lower rate."""
_BETA = 9.0
"""Shape of the Kaiser window: what is cut off is at least 90 dB down."""
_STEPS = 512
"""Places between two input samples for which weights are tabled."""
_BATCH = 4_096
"""Output samples computed at once; bounds the memory."""


class RateConverter:
    """Streaming converter of mono sound; rates in samples a second, any positive numbers."""

    def __init__(self, rate: float, wanted: float) -> None:
        self._step = rate / wanted
        """Input samples from one output sample to the next."""
        self._half, self._table = _weights(rate, wanted)
        self._kept = np.zeros(self._half, np.float32)
        """Input not done with; begins with the silence before the sound."""
        self._dropped = -self._half
        """Number of the first kept sample in the input."""
        self._made = 0
        self._taken = 0

    def push(self, samples: Floats, *, last: bool = False) -> Floats:
        """Return what is ready of mono ``samples``; ``last`` brings the rest."""
        self._taken += len(samples)
        end = [np.zeros(self._half + 1, np.float32)] if last else []
        self._kept = np.concatenate([self._kept, samples.astype(np.float32), *end])
        parts = [np.zeros(0, np.float32)]
        ready = self._ready(last=last)
        while self._made < ready:
            parts.append(self._make(min(_BATCH, ready - self._made)))
        return np.concatenate(parts)

    def _ready(self, *, last: bool) -> int:
        """Return how many output samples there can be so far."""
        if last:
            return round(self._taken / self._step)
        reached = self._dropped + len(self._kept) - self._half - 1
        return max(self._made, int(np.floor(reached / self._step)))

    def _make(self, count: int) -> Floats:
        places = np.arange(self._made, self._made + count) * self._step
        whole = np.floor(places).astype(np.int64)
        between = (places - whole) * _STEPS
        row = between.astype(np.int64)
        share = (between - row).astype(np.float32)[:, None]
        weights = self._table[row] * (1 - share) + self._table[row + 1] * share
        around = sliding_window_view(self._kept, 2 * self._half)
        rows = around[whole - self._dropped - self._half + 1]
        made: Floats = np.einsum("nk,nk->n", rows, weights)
        self._made += count
        self._forget(int(np.floor(self._made * self._step)) - self._half)
        return made

    def _forget(self, before: int) -> None:
        spare = max(0, min(before - self._dropped, len(self._kept)))
        self._kept = self._kept[spare:]
        self._dropped += spare


def converted(samples: Floats, rate: float, wanted: float) -> Floats:
    """Return all of a mono sound at another rate, in floating point of its own scale."""
    return RateConverter(rate, wanted).push(np.asarray(samples, np.float32), last=True)


def _weights(rate: float, wanted: float) -> tuple[int, Floats]:
    """Return half the filter's length and its weights, (steps + 1, 2 * half)."""
    cutoff = _ROLLOFF * min(1.0, wanted / rate)
    half = int(np.ceil(_ZEROS / cutoff))
    away = np.arange(1 - half, half + 1)[None, :] - np.arange(_STEPS + 1)[:, None] / _STEPS
    window = np.i0(_BETA * np.sqrt(np.clip(1 - (away / half) ** 2, 0, 1))) / np.i0(_BETA)
    weights = cutoff * np.sinc(cutoff * away) * window
    return half, (weights / weights.sum(1, keepdims=True)).astype(np.float32)
