"""How loud it is at the device, before any correction: level, clipping, offset, noise."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterator
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
"""Consecutive samples of exactly one value that make a flat top."""
_SLICE_S = 0.032
"""The shortest period that a gauge distinguishes: one block."""
_MOST_SLICES = 1024
"""Half a minute, more than a source reads at once."""


@dataclass(frozen=True, slots=True)
class Level:
    """What came from the device since the previous reading; levels in dB below full scale."""

    seconds: float = 0.0
    """Duration of the sound covered."""
    rms_db: float = SILENT_DB
    """Root mean square, without the offset."""
    peak_db: float = SILENT_DB
    """Largest sample."""
    offset_db: float = SILENT_DB
    """Size of the constant offset."""
    clipped: float = 0.0
    """Share of the samples that lie in flat tops, 0 to 1."""


@dataclass(frozen=True, slots=True)
class _Slice:
    """Sums over a moment of sound."""

    seconds: float
    count: int
    """Samples."""
    total: float
    """Sum of samples, full scale 1."""
    squares: float
    """Sum of their squares."""
    peak: float
    flat: int
    """Samples in flat tops."""

    def plus(self, later: _Slice) -> _Slice:
        return _Slice(
            self.seconds + later.seconds,
            self.count + later.count,
            self.total + later.total,
            self.squares + later.squares,
            max(self.peak, later.peak),
            self.flat + later.flat,
        )


class Gauge:
    """Measures a device's frames as they arrive; one thread feeds it and reads it."""

    def __init__(self) -> None:
        self._slices: deque[_Slice] = deque()
        self._due = 0.0
        """Seconds requested and not yet given, or (below 0) given early."""

    def take(self, frames: Floats, rate: int) -> None:
        """Take frames (n, channels), full scale 1.0, as the device gave them."""
        if not len(frames):
            return
        loudest = frames[:, int(np.abs(frames).max(axis=0).argmax())]
        step = max(_RUN, round(rate * _SLICE_S))
        whole = len(loudest) // step * step
        for rows in (loudest[:whole].reshape(-1, step), loudest[None, whole:]):
            for part in _slice_sums(rows, rate):
                self._keep(part)

    def reading(self, seconds: float = math.inf) -> Level:
        """Return the level since the previous reading, without the offset, and start the next one.

        seconds: at most about this much, oldest first; a file comes in large pieces.
        """
        self._due += seconds
        read: _Slice | None = None
        while self._slices and self._due >= self._slices[0].seconds / 2:
            part = self._slices.popleft()
            self._due -= part.seconds
            read = read.plus(part) if read else part
        if not self._slices:
            self._due = 0.0
        if read is None:
            return Level()
        mean = read.total / read.count
        power = max(0.0, read.squares / read.count - mean * mean)
        return Level(
            seconds=read.seconds,
            rms_db=decibels_of(math.sqrt(power)),
            peak_db=decibels_of(read.peak),
            offset_db=decibels_of(abs(mean)),
            clipped=read.flat / read.count,
        )

    def _keep(self, part: _Slice) -> None:
        self._slices.append(part)
        if len(self._slices) > _MOST_SLICES:  # nobody reads: keep the sums, not the moments
            first = self._slices.popleft()
            self._slices[0] = first.plus(self._slices[0])


def _slice_sums(rows: Floats, rate: int) -> Iterator[_Slice]:
    """Yield the sums of each row of (moments, samples), computed at once."""
    if not rows.size:
        return
    count = rows.shape[1]
    totals = rows.sum(axis=1, dtype=np.float64).tolist()
    squares = np.square(rows, dtype=np.float64).sum(axis=1).tolist()
    peaks = np.abs(rows).max(axis=1).tolist()
    for sums in zip(totals, squares, peaks, flat_tops(rows).tolist(), strict=True):
        yield _Slice(count / rate, count, *sums)


def flat_tops(rows: Floats) -> NDArray[np.int64]:
    """Return how many samples of each row are in runs of one value near an extreme.

    Clipping leaves such runs. rows: (moments, samples).
    """
    same = np.zeros((len(rows), rows.shape[1] + 1), np.int8)
    same[:, 1:-1] = (np.diff(rows) == 0) & (np.abs(rows[:, 1:]) >= _FLAT)
    edges = np.flatnonzero(np.diff(same.ravel(), append=0))
    begins, ends = edges[::2], edges[1::2]
    lengths = ends - begins + 1
    held = lengths >= _RUN
    where = (begins[held] + 1) // same.shape[1]
    return np.bincount(where, lengths[held], minlength=len(rows)).astype(np.int64)


def decibels_of(amplitude: float) -> float:
    """Return an amplitude in dB of full scale 1.0, no lower than SILENT_DB."""
    return max(SILENT_DB, 20.0 * math.log10(amplitude)) if amplitude > 0 else SILENT_DB


class SpeechLevel:
    """Levels of speech and of the room, separated by the voice activity detector.

    Root mean squares over blocks; the noise contained in the speech is subtracted.
    """

    def __init__(self, keep: int = 600) -> None:
        self._speech: deque[float] = deque(maxlen=keep)
        self._room: deque[float] = deque(maxlen=keep)

    def take(self, block: Samples, *, speech: bool) -> None:
        """Take one block (about 32 ms)."""
        (self._speech if speech else self._room).append(power_of(block))

    def forget_speech(self) -> None:
        """Start again with another utterance, in the same room."""
        self._speech.clear()

    @property
    def speech_blocks(self) -> int:
        """Blocks of speech heard so far."""
        return len(self._speech)

    @property
    def room_blocks(self) -> int:
        """Blocks of the room heard so far, except digital silence."""
        return sum(power > 0 for power in self._room)

    @property
    def noise_db(self) -> float:
        """Noise floor: the median power of blocks without speech, except digital silence."""
        return _power_db(_median_value([p for p in self._room if p > 0]))

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


def _median_value(values: list[float]) -> float:
    return float(np.median(values)) if values else 0.0


def _power_db(power: float) -> float:
    return max(SILENT_DB, 10.0 * math.log10(power)) if power > 0 else SILENT_DB
