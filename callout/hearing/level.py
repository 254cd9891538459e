"""How loud it is at the device, before anything is corrected: level, clipping, offset, noise."""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from callout.ports.hearing import Samples

Floats = NDArray[np.float32]

SILENT_DB = -96.0
"""Level given for digital silence, in dB below full scale: the noise of 16 bits."""
_FLAT = 0.5
"""Flat tops are looked for above half of full scale: an overloaded preamplifier may limit there."""
_RUN = 3
"""Samples of exactly one value in a row that make a flat top."""


@dataclass(frozen=True, slots=True)
class Level:
    """What came from the device since the reading before; levels in dB below full scale."""

    seconds: float = 0.0
    rms_db: float = SILENT_DB
    peak_db: float = SILENT_DB
    offset_db: float = SILENT_DB
    """Size of the constant offset."""
    clipped: float = 0.0
    """Share of the samples that lie in flat tops, 0 to 1."""


class Gauge:
    """Measures a device's frames as they come; one thread feeds it and reads it."""

    def __init__(self) -> None:
        self._rate = 0
        self._count = self._flat = 0
        self._sum = self._squares = self._peak = 0.0

    def take(self, frames: Floats, rate: int) -> None:
        """Take frames (n, channels), full scale 1.0, as the device gave them."""
        if not len(frames):
            return
        self._rate = rate
        self._count += len(frames)
        loudest = frames[:, int(np.abs(frames).max(axis=0).argmax())]
        self._sum += float(loudest.sum(dtype=np.float64))
        self._squares += float(np.square(loudest, dtype=np.float64).sum())
        self._peak = max(self._peak, float(np.abs(loudest).max()))
        self._flat += flat_tops(loudest)

    def reading(self) -> Level:
        """Return the level since the reading before, the offset taken off, and begin anew."""
        if not self._count:
            return Level()
        mean = self._sum / self._count
        power = max(0.0, self._squares / self._count - mean * mean)
        level = Level(
            seconds=self._count / self._rate,
            rms_db=decibels(math.sqrt(power)),
            peak_db=decibels(self._peak),
            offset_db=decibels(abs(mean)),
            clipped=self._flat / self._count,
        )
        self._clear()
        return level

    def _clear(self) -> None:
        self._count = self._flat = 0
        self._sum = self._squares = self._peak = 0.0


def flat_tops(mono: Floats) -> int:
    """Return how many samples lie in runs of one value near an extreme, as clipping leaves them."""
    if len(mono) < _RUN:
        return 0
    same = (np.diff(mono) == 0) & (np.abs(mono[1:]) >= _FLAT)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], same, [False])).astype(np.int8)))
    lengths = edges[1::2] - edges[::2] + 1
    return int(lengths[lengths >= _RUN].sum())


def decibels(amplitude: float) -> float:
    """Return an amplitude in dB of full scale 1.0, no lower than SILENT_DB."""
    return max(SILENT_DB, 20.0 * math.log10(amplitude)) if amplitude > 0 else SILENT_DB


class SpeechLevel:
    """Levels of speech and of the room, told apart by the voice activity detector.

    Root mean squares over blocks; speech in noise holds the noise too, which is taken off.
    """

    def __init__(self, keep: int = 600) -> None:
        self._speech: deque[float] = deque(maxlen=keep)
        self._room: deque[float] = deque(maxlen=keep)

    def take(self, block: Samples, *, speech: bool) -> None:
        """Take one block (about 32 ms)."""
        (self._speech if speech else self._room).append(power_of(block))

    @property
    def noise_db(self) -> float:
        """Noise floor: the median power of blocks without speech; digital silence apart."""
        return _power_db(_median([p for p in self._room if p > 0]))

    @property
    def speech_db(self) -> float:
        """Level of speech: mean power of the louder half of its blocks."""
        loud = sorted(self._speech)[len(self._speech) // 2 :]
        return _power_db(float(np.mean(loud)) if loud else 0.0)

    @property
    def snr_db(self) -> float | None:
        """Speech over noise in dB; None before both were heard."""
        if not self._speech or not any(p > 0 for p in self._room):
            return None
        noise = 10 ** (self.noise_db / 10)
        speech = max(10 ** (self.speech_db / 10) - noise, 1e-12)
        return 10.0 * math.log10(speech / noise)


def power_of(block: Samples) -> float:
    """Return the mean square of 16-bit samples, full scale 1.0, without their offset."""
    return float(np.var(block.astype(np.float64) / 32768.0)) if len(block) else 0.0


def _median(values: list[float]) -> float:
    return float(np.median(values)) if values else 0.0


def _power_db(power: float) -> float:
    return max(SILENT_DB, 10.0 * math.log10(power)) if power > 0 else SILENT_DB
