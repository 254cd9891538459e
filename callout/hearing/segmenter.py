"""Divides the stream into utterances with a voice activity detector."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from enum import Enum

import numpy as np

from callout.hearing.voice_activity import VoiceActivity
from callout.ports.hearing import SAMPLE_RATE, Samples

BLOCK = 512
"""Samples per decision of the detector (32 ms at 16 kHz)."""
BLOCK_SECONDS = BLOCK / SAMPLE_RATE


@dataclass(frozen=True, slots=True)
class SegmenterSettings:
    """Times in seconds, probabilities 0 to 1; chosen on recordings (``callout bench hearing``)."""

    start: float = 0.4
    """Speech begins when the detector exceeds this in ``start_blocks`` consecutive blocks."""
    stop: float = 0.35
    """A block below this is silence."""
    start_blocks: int = 1
    """Blocks of 32 ms."""
    early_silence: float = 0.256
    """Silence after which a first opinion is requested."""
    end_silence: float = 0.416
    """Silence that ends an utterance, or a number that nobody continues."""
    number_silence: float = 0.64
    """Silence that ends an utterance while a number may continue."""
    before: float = 0.32
    """Kept from before the first speech block: soft consonants begin many words."""
    after: float = 0.2
    """Kept from after the last speech block."""
    longest: float = 12.0
    """An utterance is cut here."""


_RAISED_PEAK = 3_000
"""The detector misses voices that peak below about -36 dB; they are raised to this level (-21
dB).
"""
_RAISED_MOST = 10.0
"""By no more than this (20 dB): a room's hiss stays faint."""
_RAISED_BLOCKS = 48
"""The loudest of this many blocks (1.5 s) counts, so that the end of a word is not raised
further.
"""


class Cut(Enum):
    """What the segmenter noticed at a block."""

    NONE = "none"
    STARTED = "started"
    PAUSED = "paused"
    """A silence has passed after which the utterance may be over."""
    ENDED = "ended"


class Segmenter:
    """Voice activity over a stream of 512-sample blocks."""

    def __init__(self, settings: SegmenterSettings | None = None) -> None:
        self.settings = settings or SegmenterSettings()
        self._detector = VoiceActivity()
        self.patient = False
        """True while a number is expected: the longer silence applies."""
        self.clock = 0.0
        """Seconds of audio seen."""
        self._clear()

    @property
    def speaking(self) -> bool:
        """True from STARTED to ENDED."""
        return self._speaking

    def push(self, block: Samples) -> Cut:
        """Take one block of exactly 512 samples and say what it brought.

        ValueError if the block has another length.
        """
        if len(block) != BLOCK:
            raise ValueError(f"a block is {BLOCK} samples, not {len(block)}")
        probability = self._detector.probability(self._raised(block))
        self.clock += BLOCK_SECONDS
        return (
            self._inside(block, probability)
            if self._speaking
            else self._outside(block, probability)
        )

    @property
    def settled(self) -> bool:
        """True at the block that completes the utterance, provided the silence continues."""
        return self._speaking and 0 < self._silent_blocks == self._after_blocks

    @property
    def silence(self) -> float:
        """Seconds of silence since the last speech of the current utterance."""
        return self._silence

    @property
    def _silent_blocks(self) -> int:
        return round(self._silence / BLOCK_SECONDS)

    @property
    def _after_blocks(self) -> int:
        return round(self.settings.after / BLOCK_SECONDS)

    def fresh(self) -> Samples:
        """Return the samples of the utterance not yet taken, up to shortly after its last speech.

        Together they are the utterance without its final silence.
        """
        spare = max(0, self._silent_blocks - self._after_blocks)
        ready = list(self._blocks)[self._taken : len(self._blocks) - spare]
        self._taken += len(ready)
        return np.concatenate(ready) if ready else np.zeros(0, np.int16)

    def reset(self) -> None:
        """Discard everything heard, including the detector's memory."""
        self._detector.reset()
        self._clear()

    def _raised(self, block: Samples) -> Samples:
        """Return a faint block amplified, for the detector only; a normal voice is unchanged."""
        self._peaks.append(int(np.abs(block.astype(np.int32)).max()))
        factor = min(_RAISED_MOST, _RAISED_PEAK / max(1, *self._peaks))
        if factor <= 1.0:
            return block
        louder: Samples = np.rint(block * factor).astype(np.int16)
        return louder

    def _clear(self) -> None:
        self._peaks: deque[int] = deque(maxlen=_RAISED_BLOCKS)
        before = max(1, round(self.settings.before / BLOCK_SECONDS))
        self._blocks: deque[Samples] = deque(maxlen=before + self.settings.start_blocks)
        self._run = self._taken = 0
        self._silence = 0.0
        self._speaking = False
        self._pauses = 0
        self.started = self.last_speech = self.clock

    def _outside(self, block: Samples, probability: float) -> Cut:
        self._blocks.append(block)
        self._run = self._run + 1 if probability >= self.settings.start else 0
        if self._run < self.settings.start_blocks:
            return Cut.NONE
        self._speaking = True
        self._blocks = deque(self._blocks)
        self.started = self.clock - self._run * BLOCK_SECONDS
        self.last_speech = self.clock
        return Cut.STARTED

    def _inside(self, block: Samples, probability: float) -> Cut:
        self._blocks.append(block)
        if probability >= self.settings.stop:
            self._silence = 0.0
            self._pauses = 0
            self.last_speech = self.clock
        else:
            self._silence += BLOCK_SECONDS
        return self._verdict()

    def _verdict(self) -> Cut:
        limits = self.settings
        stages, wait = [limits.early_silence], limits.end_silence
        if self.patient:
            stages, wait = [*stages, wait], limits.number_silence
        too_long = len(self._blocks) * BLOCK_SECONDS >= limits.longest
        if self._silence >= wait or too_long:
            return Cut.ENDED
        passed = sum(self._silence >= stage for stage in stages)
        if passed > self._pauses:
            self._pauses = passed
            return Cut.PAUSED
        return Cut.NONE
