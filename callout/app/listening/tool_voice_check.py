"""How much of the tool's own voice remains in the microphone after it is removed."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from callout.core.sentences import sound_devices
from callout.errors import EngineUnavailable
from callout.hearing.capture_time import time_of_block
from callout.hearing.level import SILENT_DB, decibels_of, power_of
from callout.hearing.tool_voice import ToolVoice
from callout.ports.hearing import AudioSource, Samples
from callout.ports.played_sound import PlayedSound

SENTENCES = (
    sound_devices.TOOL_VOICE_INTRODUCTION,
    sound_devices.TOOL_VOICE_SILENCE,
    sound_devices.SAMPLE_CHALLENGES,
    sound_devices.SAMPLE_REPLY,
    sound_devices.TOOL_VOICE_REMOVAL,
    sound_devices.SAMPLE_CONTROLS,
    sound_devices.SAMPLE_DIGITS,
    sound_devices.SAMPLE_COMPLETION,
)
LEARNED = 4
"""Number of sentences used to learn the path from speaker to microphone; the rest is measured."""
RATE = 180
"""Words per minute."""
ROOM_BLOCKS = 32
"""Blocks (1 s) of the room before the first sentence."""
GOOD_DB, FAIR_DB = 15.0, 8.0
"""Removed by this much: a normal reply is heard over the challenge (bench/results, the tool's
voice); or only a loud one is.
"""
_NOT_HEARD_DB = 3.0
"""The voice is less than this above the room noise: earphones, or no sound."""


@dataclass(frozen=True, slots=True)
class ToolVoiceLeft:
    """Levels at the microphone in dB below full scale."""

    room_db: float
    voice_db: float
    left_db: float
    removed_db: float
    delay_ms: int | None
    """Delay from playing to arrival; None if the voice did not arrive."""

    @property
    def heard(self) -> bool:
        """False if the voice does not reach the microphone at all."""
        return self.voice_db > max(SILENT_DB, self.room_db + _NOT_HEARD_DB)

    @property
    def usable(self) -> bool:
        """True if a person may answer over the voice."""
        return not self.heard or self.removed_db >= FAIR_DB

    def lines(self) -> Iterator[str]:
        """Yield the outcome for a person."""
        if not self.heard:
            yield sound_devices.VOICE_DOES_NOT_REACH
            yield "With earphones or a headset: callout settings hearing.headset true"
            return
        yield sound_devices.voice_removed_by(
            self.voice_db, self.delay_ms, self.removed_db, self.left_db
        )
        if self.removed_db >= GOOD_DB:
            yield "You can answer while a challenge is being read. Turn it on with:"
            yield "  callout settings hearing.talk_over true"
        elif self.removed_db >= FAIR_DB:
            yield "You can answer while a challenge is being read if you speak up. Turn it on with:"
            yield "  callout settings hearing.talk_over true"
        else:
            yield sound_devices.ECHO_REMAINS

    def plain(self) -> dict[str, Any]:
        """Return the outcome as plain data."""
        return asdict(self) | {"heard": self.heard, "usable": self.usable}


def measure_tool_voice(
    source: AudioSource,
    played: PlayedSound,
    say: Callable[[str], bool],
    sentences: Sequence[str] = SENTENCES,
) -> ToolVoiceLeft:
    """Say the sentences and measure what arrives; raises what the source raises.

    say: speaks and returns when done, False if nothing can be played; then EngineUnavailable is
    raised.
    """
    speaking = _Speaking(say, sentences)
    own, meter = ToolVoice(played), _Meter()
    for block in source.blocks():
        number = speaking.number
        meter.take(number, block, own.take(block, time_of_block(source)))
        if number is None:
            break
        if meter.blocks == ROOM_BLOCKS:
            speaking.begin()
    if speaking.failed:
        raise EngineUnavailable(sound_devices.VOICE_NOT_PLAYED, "callout doctor")
    heard, delay = meter.result(), own.delay_s
    return ToolVoiceLeft(*heard, None if delay is None else round(delay * 1000))


def try_tool_voice(device: str, volume: float) -> ToolVoiceLeft:
    """Measure with this machine's speaker and the microphone called ``device``."""
    from callout.hearing.microphone import MicrophoneSource
    from callout.speaking.played_log import PlayedLog
    from callout.speaking.speakers import BUILT_IN, speaker_of

    log = PlayedLog()
    source = MicrophoneSource(device or None)
    speaker = speaker_of(BUILT_IN, rate=RATE, volume=volume, log=log)
    try:
        return measure_tool_voice(source, log, speaker.say)
    finally:
        speaker.close()
        source.close()


class _Speaking:
    """Says sentences in a thread of its own."""

    def __init__(self, say: Callable[[str], bool], sentences: Sequence[str]) -> None:
        self._say, self._sentences = say, sentences
        self.failed = False
        self.number: int | None = -1
        """Number of the current sentence; -1 before the first, None after the last."""
        self._thread = threading.Thread(target=self._run, name="tool voice", daemon=True)

    def begin(self) -> None:
        """Start with the first sentence."""
        self._thread.start()

    def _run(self) -> None:
        for number, sentence in enumerate(self._sentences):
            self.number = number
            if not self._say(sentence):
                self.failed = True
                break
        self.number = None


class _Meter:
    """Sorts blocks into room noise, and the voice before and after its removal."""

    def __init__(self) -> None:
        self._room: list[float] = []
        self._voice: list[float] = []
        self._left: list[float] = []
        self.blocks = 0
        """Number of blocks taken so far."""

    def take(self, number: int | None, heard: Samples, left: Samples) -> None:
        """Take a block as heard, and what remains of it, while a sentence is played."""
        self.blocks += 1
        if number == -1:
            self._room.append(power_of(heard))
        elif number is not None and number >= LEARNED:
            self._voice.append(power_of(heard))
            self._left.append(power_of(left))

    def result(self) -> tuple[float, float, float, float]:
        """Return room, voice, remainder and removal, in dB."""
        room, voice, left = (_level(powers) for powers in (self._room, self._voice, self._left))
        return room, voice, left, voice - left


def _level(powers: list[float]) -> float:
    return decibels_of(float(np.sqrt(np.mean(powers)))) if powers else SILENT_DB
