"""Watches the sound while a session listens: each fault is reported once and counted each time."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from typing import Final

from callout.core.conversation.records import Disturbance
from callout.core.conversation.sound import SoundNotice
from callout.core.model.heard import Heard
from callout.core.sentences import sound as sentences
from callout.hearing.level import Gauge, Level, SpeechLevel
from callout.hearing.segmenter import BLOCK_SECONDS, Segmenter
from callout.hearing.sound_faults import (
    CLIPPED,
    MOMENT_BLOCKS,
    TOO_LOUD,
    blocks_lost,
    sort_block,
    too_near_the_noise,
    too_quiet,
)
from callout.ports.hearing import AudioSource, Samples

CLEAR_UTTERANCES: Final = 3
"""Consecutive utterances without a fault after which it is over, and reported again if it
returns.
"""
CLEAR_S: Final = 60.0
"""Seconds without a lost block after which losing them is over."""
COUNT_S: Final = 5.0
"""While blocks are being lost, their number is reported at most this often, and at each reply."""
_ROOM_BLOCKS: Final = 8
"""Blocks (0.26 s) of the room needed to say anything about its noise."""
_VOICE_BLOCKS: Final = 6
"""Blocks (0.19 s) of speech; clicks and the detector's false starts are shorter."""
_NO_VOICE_DB: Final = -6.0
"""Anything no further above the noise than this is noise."""

_BETTER: Final = {
    Disturbance.OVERLOADED: sentences.NO_LONGER_OVERLOADS,
    Disturbance.FAINT: sentences.LOUD_ENOUGH_NOW,
    Disturbance.LOST: sentences.NO_SOUND_LOST_NOW,
}


@dataclass(slots=True)
class _Fault:
    """The state of one kind of trouble."""

    going_on: bool = False
    shown: bool = False
    """False while the opposite fault is shown instead."""
    clear: int = 0
    """Consecutive utterances without it."""


class SoundWatch:
    """Measures a source's sound; used by one thread.

    For each block of the source call ``arrived``, then ``lost``; for each one listened to
    ``listen``, once the segmenter has judged it, and after an utterance ``utterance``.
    """

    def __init__(self, source: AudioSource, segmenter: Segmenter) -> None:
        self._source = source
        self._segmenter = segmenter
        self._gauge: Gauge = getattr(source, "gauge", None) or Gauge()
        self._faults = {kind: _Fault() for kind in Disturbance}
        self._levels = SpeechLevel()
        self._moment: deque[Level] = deque(maxlen=MOMENT_BLOCKS)
        self._speaking = False
        self._worst = 0.0
        self._clock = 0.0
        self._before: int | None = None
        """Blocks lost before anybody listened; they did no harm."""
        self._overflowed = self._given = self._seen = 0
        self._given_at = self._lost_at = 0.0

    def arrived(self) -> Level:
        """Return the level of the block that has just arrived."""
        self._clock += BLOCK_SECONDS
        if self._before is None:
            self._before = self._dropped()
        return self._gauge.reading(BLOCK_SECONDS)

    def overflow(self) -> None:
        """Count a block that the program could not process in time."""
        self._overflowed += 1

    def lost(self, *, now: bool = False) -> list[SoundNotice]:
        """Return news of lost blocks; ``now`` returns everything known."""
        total = self._dropped() - (self._before or 0) + self._overflowed
        if total > self._seen:
            self._seen, self._lost_at = total, self._clock
        fault = self._faults[Disturbance.LOST]
        if self._seen > self._given:
            waits = fault.going_on and self._clock - self._given_at < COUNT_S
            return [] if waits and not now else [self._give(fault)]
        if fault.going_on and self._clock - self._lost_at >= CLEAR_S:
            fault.going_on = False
            return [_notice_over(Disturbance.LOST)]
        return []

    def listen(self, block: Samples, level: Level) -> None:
        """Take a block that has been listened to, with its level at the device."""
        speaking = self._segmenter.speaking
        if speaking and not self._speaking:
            self._levels.forget_speech()
            self._worst = 0.0
        self._speaking = speaking
        self._moment.append(level)
        if speaking:
            self._worst = max(self._worst, _clipped_share(self._moment))
        sort_block(self._levels, block, self._segmenter)

    def utterance(self, heard: Heard) -> list[SoundNotice]:
        """Return news of the utterance that has just been heard."""
        loud = TOO_LOUD if self._worst > CLIPPED else ""
        faint = "" if loud else self._faint(heard)
        return [
            *self.lost(now=True),
            *(self._replaced(Disturbance.FAINT) if loud else ()),
            *(self._replaced(Disturbance.OVERLOADED) if faint else ()),
            *self._judged(Disturbance.OVERLOADED, loud, round(self._worst, 4)),
            *self._judged(Disturbance.FAINT, faint, round(self._levels.speech_db, 1)),
        ]

    def _faint(self, heard: Heard) -> str:
        """Return what to do; a breath is faint too, and not meant to be heard.

        Speech that was understood for certain was loud enough, whatever came before it.
        """
        levels = self._levels
        snr = levels.snr_db if levels.room_blocks >= _ROOM_BLOCKS else None
        if levels.speech_blocks < _VOICE_BLOCKS or (snr is not None and snr < _NO_VOICE_DB):
            return ""
        near = "" if heard.sure else too_near_the_noise(snr)
        words = heard.text or heard.transcript
        return near or (too_quiet(levels.speech_db) if words else "")

    def _judged(self, kind: Disturbance, message: str, measured: float) -> list[SoundNotice]:
        fault = self._faults[kind]
        if message:
            first, fault.going_on, fault.clear = not fault.going_on, True, 0
            fault.shown = True
            return [SoundNotice(kind, 1, message, measured, told=first)]
        fault.clear += 1
        if fault.going_on and fault.clear >= CLEAR_UTTERANCES:
            shown, fault.going_on, fault.shown = fault.shown, False, False
            return [_notice_over(kind)] if shown else []
        return []

    def _replaced(self, kind: Disturbance) -> list[SoundNotice]:
        """Remove a fault from the screen silently: "turn it up" must not be shown beside "down"."""
        fault = self._faults[kind]
        shown, fault.shown = fault.shown, False
        return [SoundNotice(kind, over=True)] if shown else []

    def _give(self, fault: _Fault) -> SoundNotice:
        first, fault.going_on = not fault.going_on, True
        count, self._given, self._given_at = self._seen - self._given, self._seen, self._clock
        return SoundNotice(Disturbance.LOST, count, blocks_lost(self._seen), told=first)

    def _dropped(self) -> int:
        return int(getattr(self._source, "dropped", 0))


def _notice_over(kind: Disturbance) -> SoundNotice:
    return SoundNotice(kind, message=_BETTER[kind], told=True, over=True)


def _clipped_share(moment: deque[Level]) -> float:
    seconds = sum(level.seconds for level in moment)
    return sum(level.clipped * level.seconds for level in moment) / seconds if seconds else 0.0
