"""Converts sound from one sample rate to another: a windowed sinc, computed with numpy.

Output samples lie between input samples; each is a weighed sum of those around it (band-limited
interpolation, J. O. Smith, "Digital Audio Resampling", 2002). Usual rates are in a ratio of small
numbers, for which all weights are worked out once. For others they are tabled finely enough that
the error stays below that of 16 bits, so any two rates will do and no library is needed.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Protocol

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_ZEROS = 40
"""Zero crossings of the sinc on either side."""
_ROLLOFF = 0.94
"""Half-amplitude point of the filter, as a share of half the lower rate."""
_BETA = 9.0
"""Shape of the Kaiser window: stop-band attenuation of at least 90 dB."""
_STEPS = 512
"""Tabulated positions between two input samples."""
_BATCH = 4_096
"""Output samples computed at once; bounds the memory."""
_LARGEST = 1_000_000
"""Maximum number of weights kept for two rates: 4 MB."""


class RateConverter:
    """Streaming converter of mono sound; rates in samples per second, any positive numbers.

    The same sound gives bit-identical samples, however it is divided into pieces.
    """

    def __init__(self, rate: float, wanted: float) -> None:
        self._step = rate / wanted
        """Input samples from one output sample to the next."""
        self._half = half_length(rate, wanted)
        self._rows = _rows_of(rate, wanted)
        self._kept = np.zeros(self._half, np.float32)
        """Input still needed; begins with the silence before the sound."""
        self._dropped = -self._half
        """Number of the first kept sample in the input."""
        self._made = 0
        self._taken = 0

    def push(self, samples: Floats, *, last: bool = False) -> Floats:
        """Return the samples that are ready for mono ``samples``; ``last`` returns the rest too."""
        self._taken += len(samples)
        rows = self._rows
        end = [np.zeros(self._half + rows.taken + 1, np.float32)] if last else []
        self._kept = np.concatenate([self._kept, samples.astype(np.float32), *end])
        parts = [np.zeros(0, np.float32)]
        ready = self._ready(last=last)
        while self._made < ready and (last or ready - self._made >= rows.given):
            part = self._make(min(_BATCH, ready - self._made))
            parts.append(part[: ready - self._made])
            self._made += len(parts[-1])
            self._forget(rows.place(self._made) - self._half)
        return np.concatenate(parts)

    def _ready(self, *, last: bool) -> int:
        """Return how many output samples there can be so far."""
        if last:
            return round(self._taken / self._step)
        reached = self._dropped + len(self._kept) - self._half - 1
        return max(self._made, int(np.floor(reached / self._step)))

    def _make(self, count: int) -> Floats:
        """Return about ``count`` output samples, in whole rows."""
        first = self._rows.place(self._made) - self._half + 1 - self._dropped
        return self._rows.make(self._kept[first:], self._made, count)

    def _forget(self, before: int) -> None:
        spare = max(0, min(before - self._dropped, len(self._kept)))
        self._kept = self._kept[spare:]
        self._dropped += spare


class Reader:
    """Reads a sound at any positions between its samples, for two clocks that drift apart."""

    def __init__(self) -> None:
        self.half = half_length(1, 1)
        """Samples needed on either side of a position."""
        self._table = _filter_weights(1, 1, np.arange(_STEPS + 1) / _STEPS)

    def read(self, samples: Floats, places: NDArray[np.float64]) -> Floats:
        """Return the sound at ``places``, ascending, each at least ``half`` from both ends."""
        whole = np.floor(places).astype(np.int64)
        rows = sliding_window_view(samples, self._table.shape[1])[whole - self.half + 1]
        made: Floats = np.einsum("nk,nk->n", rows, _between(self._table, places - whole))
        return made


class _Rows(Protocol):
    """Computes output samples, ``given`` at a time."""

    given: int
    taken: int
    """Input samples from one row to the next."""

    def place(self, number: int) -> int:
        """Return the input sample at or before the output sample at the start of a row."""

    def make(self, kept: Floats, number: int, count: int) -> Floats:
        """Return about ``count`` output samples from ``number`` on, for which ``kept`` begins."""


class _Repeating:
    """Rates in a ratio of small numbers: the positions between input samples repeat.

    One matrix of weights then gives ``given`` output samples. Computed row by row, because the
    rounding of a matrix product depends on the number of rows.
    """

    def __init__(self, weights: Floats, taken: int) -> None:
        self._weights = weights
        self.given: int = weights.shape[1]
        self.taken = taken

    def place(self, number: int) -> int:
        return number // self.given * self.taken

    def make(self, kept: Floats, number: int, count: int) -> Floats:
        rows = -(-count // self.given) if count < self.given else count // self.given
        made = np.empty((rows, self.given), np.float32)
        width = len(self._weights)
        for row, at in enumerate(range(0, rows * self.taken, self.taken)):
            np.dot(kept[at : at + width], self._weights, out=made[row])
        return made.ravel()


class _Tabled:
    """Any two rates: weights are interpolated between tabulated positions."""

    def __init__(self, rate: float, wanted: float) -> None:
        self._step = rate / wanted
        self._table = _filter_weights(rate, wanted, np.arange(_STEPS + 1) / _STEPS)
        self.given, self.taken = 1, 0

    def place(self, number: int) -> int:
        return int(np.floor(number * self._step))

    def make(self, kept: Floats, number: int, count: int) -> Floats:
        places = np.arange(number, number + count) * self._step
        whole = np.floor(places).astype(np.int64)
        weights = _between(self._table, places - whole)
        rows = sliding_window_view(kept, self._table.shape[1])[whole - whole[0]]
        made: Floats = np.einsum("nk,nk->n", rows, weights)
        return made


def _between(table: Floats, share: NDArray[np.float64]) -> Floats:
    """Return the weights for positions that lie ``share`` after a sample."""
    place = share * _STEPS
    row = place.astype(np.int64)
    rest = (place - row).astype(np.float32)[:, None]
    weights: Floats = table[row] * (1 - rest) + table[row + 1] * rest
    return weights


def convert_rate(samples: Floats, rate: float, wanted: float) -> Floats:
    """Return a whole mono sound at another rate, in floating point on its own scale."""
    return RateConverter(rate, wanted).push(np.asarray(samples, np.float32), last=True)


def half_length(rate: float, wanted: float) -> int:
    """Return how many input samples on either side contribute to an output sample."""
    return int(np.ceil(_ZEROS / _cutoff_frequency(rate, wanted)))


def _cutoff_frequency(rate: float, wanted: float) -> float:
    return _ROLLOFF * min(1.0, wanted / rate)


def _rows_of(rate: float, wanted: float) -> _Rows:
    ratio = Fraction(rate) / Fraction(wanted)
    width = 2 * half_length(rate, wanted)
    times = max(1, round(width / ratio.numerator))
    taken, given = ratio.numerator * times, ratio.denominator * times
    if (taken + width) * given > _LARGEST:
        return _Tabled(rate, wanted)
    places = [ratio * number for number in range(given)]
    between = np.array([float(place % 1) for place in places])
    matrix = np.zeros((taken + width, given), np.float32)
    for number, weights in enumerate(_filter_weights(rate, wanted, between)):
        matrix[int(places[number]) : int(places[number]) + width, number] = weights
    return _Repeating(matrix, taken)


def _filter_weights(rate: float, wanted: float, between: NDArray[np.float64]) -> Floats:
    """Return the weights for positions ``between`` two input samples, (places, 2 * half)."""
    cutoff, half = _cutoff_frequency(rate, wanted), half_length(rate, wanted)
    away = np.arange(1 - half, half + 1)[None, :] - between[:, None]
    window = np.i0(_BETA * np.sqrt(np.clip(1 - (away / half) ** 2, 0, 1))) / np.i0(_BETA)
    weights = cutoff * np.sinc(cutoff * away) * window
    result: Floats = (weights / weights.sum(1, keepdims=True)).astype(np.float32)
    return result
