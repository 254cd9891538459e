"""Removes the tool's voice from what a microphone hears: aligns what was played, and cancels it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from callout.hearing.echo_canceller import EchoCanceller
from callout.hearing.level import decibels_of, power_of
from callout.hearing.steady_clock import SteadyClock
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.ports.played_sound import PlayedPart, PlayedSound
from callout.rates import Floats, RateConverter, Reader

AHEAD_S = 0.04
"""Played sound is aligned this much too early: a driver's times may be wrong by this, and an echo
that came before its own sound could not be cancelled.
"""
_ASTRAY = 0.06 * SAMPLE_RATE
"""Samples of misalignment at which it is aligned again: a buffer was lost."""
_PULL, _MOST_PULL = 0.002, 2e-5
"""Share of the misalignment corrected per block, and the maximum as a share of the block."""
TRUSTED_DB, LOST_DB = 8.0, 3.0
"""With this much removed, the path is known; below the second, no longer, unless a person
speaks.
"""
ASTRAY = 0.3
"""From this share on, the remainder is the tool's own voice, and no person's."""
_NOTHING_DB = -55.0
"""An echo below this counts as none: earphones, or a voice turned down."""
_SMOOTH = 0.05
_MOST_S = 4.0
"""Maximum seconds of played sound that are kept."""


class ToolVoice:
    """Follows one speaker and one microphone, either of which may be opened or lost at any time."""

    def __init__(self, played: PlayedSound) -> None:
        self._played = played
        self._line = _PlayedLine()
        self._captured = SteadyClock(SAMPLE_RATE)
        self._count = 0
        self._canceller = EchoCanceller()
        self._level_db: float | None = None
        self.trusted = False
        """True while the remainder of the tool's voice is known to be small."""

    @property
    def removed_db(self) -> float | None:
        """How much of the tool's voice has recently been removed; None before it has spoken."""
        return self._canceller.removed_db

    @property
    def delay_s(self) -> float | None:
        """Delay from playing to arrival; None before it is known."""
        delay = self._canceller.delay_s
        return None if delay is None else delay - AHEAD_S + self._line.early_s

    def take(self, block: Samples, at: float) -> Samples:
        """Return a block without the tool's voice.

        block: int16 at SAMPLE_RATE, a whole number of the canceller's steps. at: the time
        (``time.monotonic``) at which its last sample was captured.
        """
        for part in self._played.taken():
            self._line.add(part)
        self._captured.add(self._count + len(block), at)
        begin = self._captured.when(self._count) + AHEAD_S
        self._count += len(block)
        played = self._line.read(begin, self._captured.period, len(block))
        return self._canceller.take(block, played)

    def judge(self, block: Samples) -> None:
        """Learn from a block as heard while the tool speaks and nobody else does."""
        level = decibels_of(float(np.sqrt(power_of(block))))
        before = level if self._level_db is None else self._level_db
        self._level_db = before + _SMOOTH * (level - before)
        removed = self._canceller.removed_db or 0.0
        known = removed >= TRUSTED_DB
        if self.trusted:
            known = removed >= LOST_DB or self._canceller.astray < ASTRAY
        self.trusted = known or self._level_db < _NOTHING_DB


class _PlayedLine:
    """Everything played, as one line of samples at SAMPLE_RATE, with the time at which each is
    heard.
    """

    def __init__(self) -> None:
        self._rate = 0
        self._reader = Reader()
        self._samples: Floats = np.zeros(0, np.float32)
        self._first = self._given = 0
        """Number of the first kept sample; samples of the device so far."""
        self._place: float | None = None
        """Where reading continues."""
        self.early_s = 0.0
        """How much older the last samples read are than those requested."""

    def add(self, part: PlayedPart) -> None:
        """Take one buffer."""
        if part.rate != self._rate:
            self._rate = part.rate
            self._clock = SteadyClock(part.rate)
            self._begin()
        if not self._clock.add(self._given, part.at):
            self._begin()
            self._clock.add(0, part.at)
        self._given += len(part.samples)
        self._samples = np.concatenate([self._samples, self._convert.push(part.samples)])
        spare = max(0, len(self._samples) - round(_MOST_S * SAMPLE_RATE))
        self._samples, self._first = self._samples[spare:], self._first + spare

    def _begin(self) -> None:
        self._convert = RateConverter(self._rate, SAMPLE_RATE)
        self._samples = np.zeros(0, np.float32)
        self._first = self._given = 0
        self._place = None

    def read(self, begin: float, period: float, count: int) -> Samples:
        """Return ``count`` int16 samples, ``period`` seconds apart, from ``begin`` on."""
        if not self._rate:
            return np.zeros(count, np.int16)
        due = self._clock.number(begin) * SAMPLE_RATE / self._rate
        if self._place is None or abs(due - self._place) > _ASTRAY:
            self._place = due
        pull = (due - self._place) * _PULL / count
        step = period / self._clock.period * SAMPLE_RATE / self._rate
        step += min(max(pull, -_MOST_PULL), _MOST_PULL)
        self._place -= self._not_given(self._place + step * count)
        self.early_s = (due - self._place) / SAMPLE_RATE
        places = self._place - self._first + step * np.arange(count, dtype=np.float64)
        self._place += step * count
        return self._at(places)

    def _not_given(self, end: float) -> float:
        """Return how much too early ``end`` is, for a device that is given its sound just in
        time.
        """
        missing = end + self._reader.half + 2 - self._first - len(self._samples)
        return missing if 0 < missing < _ASTRAY else 0.0

    def _at(self, places: NDArray[np.float64]) -> Samples:
        half = self._reader.half
        begin = int(np.floor(places[0])) - half
        end = int(np.floor(places[-1])) + half + 2
        whole = np.zeros(end - begin, np.float32)
        first, last = max(0, begin), min(len(self._samples), end)
        if first < last:
            whole[first - begin : last - begin] = self._samples[first:last]
        if not whole.any():
            return np.zeros(len(places), np.int16)
        sound = self._reader.read(whole, places - begin)
        result: Samples = np.round(np.clip(sound, -1, 1) * 32_767).astype(np.int16)
        return result
