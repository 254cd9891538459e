"""Converts any recording or device format to the 16 kHz mono 16-bit samples of the hearing port."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from callout.hearing.level import Gauge
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import RateConverter

Floats = NDArray[np.float32]

_CANCELLED = 0.1
"""Below this share of the loudest channel's energy (-10 dB) the mean has cancelled itself."""
_DC_SECONDS = 0.5
_DC_FREE = 0.01
"""Offsets below this (-40 dBFS) are ignored, so clean recordings pass bit for bit."""


class MonoMix:
    """Mean of the channels, or the loudest one if the mean would cancel."""

    def __init__(self) -> None:
        self._energy: NDArray[np.float64] | None = None
        self._mean_energy = 0.0

    def mix(self, frames: Floats) -> Floats:
        """Return one channel for ``frames`` of shape (n, channels)."""
        if frames.shape[1] == 1:
            return frames[:, 0]
        mean: Floats = frames.mean(axis=1, dtype=np.float32)
        energy = np.square(frames, dtype=np.float64).sum(axis=0)
        self._energy = energy if self._energy is None else self._energy + energy
        self._mean_energy += float(np.square(mean, dtype=np.float64).sum())
        if self._mean_energy >= _CANCELLED * self._energy.max():
            return mean
        loudest: Floats = frames[:, int(self._energy.argmax())]
        return loudest


class DcRemover:
    """Subtracts a slowly followed offset; a sound card's bias would look like a loud signal.

    The offset is the mean of all samples at first, then of about the last half second.
    """

    def __init__(self, rate: int) -> None:
        self._memory = round(_DC_SECONDS * rate)
        self._seen = 0
        self._offset = 0.0

    def remove(self, mono: Floats) -> Floats:
        """Return ``mono`` without its offset."""
        if not len(mono):
            return mono
        mean = float(mono.mean(dtype=np.float64))
        before = self._offset if self._seen else mean
        self._seen = min(self._seen, self._memory) + len(mono)
        self._offset = before + (mean - before) * len(mono) / self._seen
        first, last = _beyond_free(before), _beyond_free(self._offset)
        if first == last == 0.0:
            return mono
        return mono - np.linspace(first, last, len(mono), dtype=np.float32)


def _beyond_free(offset: float) -> float:
    return float(np.sign(offset)) * max(0.0, abs(offset) - _DC_FREE)


class ToPort:
    """Streaming converter: frames at the source's own rate in, port samples out.

    rate: frames per second of the source, any positive whole number. gauge: sees the frames as they
    arrived, before offset and clipping are handled.
    """

    def __init__(self, rate: int, gauge: Gauge | None = None) -> None:
        self._rate, self._gauge = rate, gauge
        self._mix = MonoMix()
        self._dc = DcRemover(rate)
        self._stream = RateConverter(rate, SAMPLE_RATE) if rate != SAMPLE_RATE else None

    def convert(self, frames: Floats, *, last: bool = False) -> Samples:
        """Return what is ready of ``frames`` (n, channels), full scale 1.0; ``last`` flushes.

        NaN counts as silence; values beyond full scale are clipped.
        """
        frames = np.clip(np.nan_to_num(frames, nan=0.0, posinf=1.0, neginf=-1.0), -1.0, 1.0)
        if self._gauge is not None:
            self._gauge.take(frames, self._rate)
        mono = self._dc.remove(self._mix.mix(frames))
        if self._stream is not None:
            mono = self._stream.push(mono, last=last)
        return to_int16(mono)


def to_int16(mono: Floats) -> Samples:
    """Return full-scale-1.0 samples as 16-bit integers, clipped."""
    samples: Samples = np.clip(np.rint(mono * 32768.0), -32768, 32767).astype(np.int16)
    return samples


class Blocks:
    """Cuts a stream of samples into blocks of one size."""

    def __init__(self, size: int) -> None:
        self._size = size
        self._rest: Samples = np.zeros(0, np.int16)

    def push(self, samples: Samples) -> list[Samples]:
        """Take samples, return every complete block."""
        joined = np.concatenate((self._rest, samples)) if len(self._rest) else samples
        full = len(joined) // self._size * self._size
        self._rest = joined[full:]
        return [joined[i : i + self._size] for i in range(0, full, self._size)]

    def flush(self) -> list[Samples]:
        """Return the rest, zero-padded to one block, or nothing."""
        if not len(self._rest):
            return []
        block = np.zeros(self._size, np.int16)
        block[: len(self._rest)] = self._rest
        self._rest = self._rest[:0]
        return [block]
