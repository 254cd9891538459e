"""A place to try a microphone: levels in silence, then one word at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.heard import Heard
from callout.hearing.level import Gauge, Level, SpeechLevel
from callout.hearing.segmenter import BLOCK_SECONDS, Segmenter
from callout.hearing.sound_faults import MOMENT_BLOCKS, sort_block
from callout.hearing.turns import Turns
from callout.ports.hearing import AudioSource, Recogniser, Samples

PATIENCE_S = 6.0
"""Seconds of sound after which it is asked for again, unless somebody is speaking."""
SILENCE_DB = -75.0
"""A device that never peaks above this gives no sound: muted, off, or nothing plugged in."""


@dataclass(frozen=True, slots=True)
class LevelReading:
    """One look at the meter; levels in dB below full scale."""

    level: Level
    noise_db: float
    """The room between words."""
    speaking: bool


@dataclass(frozen=True, slots=True)
class BoothWord:
    """One word, or what was heard instead."""

    wanted: str
    heard: Heard
    samples: Samples
    level: Level

    @property
    def right(self) -> bool:
        """True if the recogniser was sure of it at once."""
        return self.heard.sure and self.heard.text == self.wanted


@dataclass(slots=True)
class Totals:
    """Totals of everything that came in."""

    speech: SpeechLevel = field(default_factory=SpeechLevel)
    offsets: list[float] = field(default_factory=list)
    """Offset of each reading in which nobody spoke: short speech has a mean of its own."""
    clipped: float = 0.0
    """The worst share of clipped samples in one reading while a person spoke."""
    peak_db: float = Level().peak_db
    """Highest peak so far, in dB below full scale."""

    @property
    def offset_db(self) -> float:
        """The device's own constant offset."""
        return float(np.median(self.offsets)) if self.offsets else Level().offset_db

    @property
    def silent(self) -> bool:
        """True if nothing arrived but the last bits of a converter."""
        return self.peak_db < SILENCE_DB


class Keeping:
    """A recogniser that also keeps the samples of the last utterance it decided on."""

    def __init__(self, inner: Recogniser) -> None:
        self.name = inner.name
        self._inner = inner
        self._samples: list[Samples] = []
        self.last: Samples = np.zeros(0, np.int16)

    def listen_for(self, candidates: CandidateSet) -> None:
        """Arm the inner recogniser."""
        self._inner.listen_for(candidates)

    def accept(self, samples: Samples) -> None:
        """Keep the samples and pass them on."""
        self._samples.append(samples)
        self._inner.accept(samples)

    def guess(self) -> Heard:
        """Ask the inner recogniser."""
        return self._inner.guess()

    def decide(self) -> Heard:
        """Ask the inner recogniser."""
        return self._inner.decide()

    def reset(self) -> None:
        """Keep what has been said so far as the last utterance."""
        if self._samples:
            self.last = np.concatenate(self._samples)
        self._samples = []
        self._inner.reset()

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Ask the inner recogniser."""
        return self._inner.unknown_words(words)

    def close(self) -> None:
        """Close the inner recogniser."""
        self._inner.close()


class Booth:
    """Takes sound from a source, block by block, for as long as required.

    meter: called several times per second. Raises what the source raises: DeviceNotFound,
    AudioInvalid.
    """

    def __init__(
        self,
        source: AudioSource,
        recogniser: Recogniser,
        meter: Callable[[LevelReading], None] = lambda reading: None,
    ) -> None:
        self._blocks: Iterator[Samples] = iter(source.blocks())
        self._gauge: Gauge = getattr(source, "gauge", None) or Gauge()
        self._keeping = Keeping(recogniser)
        self._segmenter = Segmenter()
        self._turns = Turns(self._segmenter, self._keeping)
        self._meter = meter
        self._armed: CandidateSet | None = None
        self._heard_blocks = 0
        self._word = Level()
        self.totals = Totals()
        self.ended = False
        """True once a recording has ended."""

    def be_quiet(self, seconds: float) -> None:
        """Take sound during which nobody should speak."""
        self._arm(CandidateSet("quiet", ()))
        for _ in range(round(seconds / BLOCK_SECONDS)):
            if (block := self._next()) is None:
                return
            self._turns.push(block)
            self._measure(block)

    def say(self, wanted: str, among: CandidateSet) -> BoothWord | None:
        """Return the next utterance, or None if none comes or the source has ended.

        One that begins before the time is over is waited for, and none is cut in two by asking
        again among the same phrases.
        """
        self._arm(among)
        self._word = Level()
        patience = round(PATIENCE_S / BLOCK_SECONDS)
        while patience > 0 or self._turns.speaking:
            patience -= 1
            if (block := self._next()) is None:
                heard = self._turns.end()
                return self._said(wanted, heard) if heard else None
            heard = self._turns.push(block)
            self._measure(block)
            if heard:
                return self._said(wanted, heard)
        return None

    def close(self) -> None:
        """Free the recogniser."""
        self._turns.close()

    def _arm(self, among: CandidateSet) -> None:
        if among != self._armed:
            self._turns.listen_for(among)
            self._armed = among

    def _next(self) -> Samples | None:
        block = next(self._blocks, None)
        self.ended = block is None
        return block

    def _said(self, wanted: str, heard: Heard) -> BoothWord:
        self._look()
        return BoothWord(wanted, heard, self._keeping.last, self._word)

    def _measure(self, block: Samples) -> None:
        sort_block(self.totals.speech, block, self._segmenter)
        self._heard_blocks += 1
        if self._heard_blocks % MOMENT_BLOCKS == 0:
            self._look()

    def _look(self) -> None:
        level, totals = self._gauge.reading(), self.totals
        if level.seconds:
            if not self._turns.speaking:
                totals.offsets.append(level.offset_db)
            totals.peak_db = max(totals.peak_db, level.peak_db)
            totals.clipped = max(totals.clipped, level.clipped)
            self._word = max(self._word, level, key=lambda one: (one.clipped, one.rms_db))
        self._meter(LevelReading(level, totals.speech.noise_db, self._turns.speaking))


def word_set(words: Iterable[str], item_id: str = "word") -> CandidateSet:
    """Return candidates that are exactly these words."""
    made = (Candidate(w, CandidateRole.ACCEPTED, (w,)) for w in dict.fromkeys(words))
    return CandidateSet(item_id, tuple(made))
