"""The tool's own voice is lined up and taken out, whatever delay and clocks."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import numpy as np
import pytest

from callout.app.listening.tool_voice_check import SENTENCES, ToolVoiceLeft, measure_tool_voice
from callout.bench.voice.rooms import Room
from callout.bench.voice.voices import spoken_samples
from callout.errors import EngineUnavailable
from callout.hearing.cabin_noise import speech_rms
from callout.hearing.over_voice import OverVoice
from callout.hearing.segmenter import BLOCK
from callout.hearing.steady_clock import SteadyClock
from callout.hearing.tool_voice import ToolVoice
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.ports.played_sound import PlayedPart
from callout.speaking.embedded.rendering import FIRST, Renderer
from tests.hearing.recordings import recording

BEGIN, BUFFER, AHEAD = 500.0, 320, 0.08


@pytest.fixture(scope="module")
def spoken() -> list[Samples]:
    renderer = Renderer.shipped()
    return [spoken_samples(renderer, text, FIRST) for text in SENTENCES]


class Device:
    """A loudspeaker's driver: buffers ahead of time, with times that are not exact."""

    def __init__(self, played: Samples, slow: float) -> None:
        whole = np.concatenate([played, np.zeros(SAMPLE_RATE, np.int16)])
        self._sound, self._slow, self._given = whole.astype(np.float32) / 32_768, slow, 0
        self._chance = np.random.default_rng(4)
        self.now = BEGIN

    def taken(self) -> list[PlayedPart]:
        parts = []
        while self._given < len(self._sound):
            at = BEGIN + self._given * self._slow / SAMPLE_RATE
            if at > self.now + AHEAD:
                break
            buffer = self._sound[self._given : self._given + BUFFER]
            parts.append(PlayedPart(buffer, SAMPLE_RATE, at + self._chance.normal(0, 0.002)))
            self._given += BUFFER
        return parts


def removed(room: Room, spoken: list[Samples]) -> tuple[float, ToolVoice]:
    """Return what is taken out of the second half, in dB."""
    pause = np.zeros(SAMPLE_RATE // 2, np.int16)
    played = np.concatenate([part for one in spoken for part in (one, pause)])
    played = played[: len(played) // BLOCK * BLOCK]
    heard = room.heard(played.astype(np.float64))
    device = Device(played, 1 + room.drift * 1e-6)
    own, left = ToolVoice(device), []
    for at in range(0, len(heard), BLOCK):
        device.now = BEGIN + (at + BLOCK) / SAMPLE_RATE
        left.append(own.take(heard[at : at + BLOCK], device.now))
        own.judge(left[-1])
    half = len(heard) // 2
    before, after = heard[half:], np.concatenate(left)[half:]
    return 10 * float(np.log10(np.mean(before**2.0) / np.mean(after**2.0))), own


@pytest.mark.parametrize("delay", [0.02, 0.2])
@pytest.mark.parametrize("drift", [0.0, 100.0])
def test_the_voice_is_taken_out_through_a_room(
    spoken: list[Samples], delay: float, drift: float
) -> None:
    decibels, own = removed(Room(delay, 0.3, drift), spoken)
    assert decibels > 10
    assert own.trusted
    assert own.delay_s == pytest.approx(delay, abs=0.01)


def test_a_voice_that_comes_later_than_can_be_followed_is_not_trusted(
    spoken: list[Samples],
) -> None:
    assert not removed(Room(0.7, 0.3), spoken)[1].trusted


def test_a_person_is_left_as_he_is() -> None:
    own = ToolVoice(Device(np.zeros(SAMPLE_RATE, np.int16), 1.0))
    person = np.random.default_rng(1).normal(0, 3000, BLOCK).astype(np.int16)
    assert np.array_equal(own.take(person, BEGIN + 0.032), person)


def test_a_clock_is_read_out_of_uncertain_times() -> None:
    """The rate of two free-running devices differs by tens of parts in a million (common
    practice); a driver's times are off by milliseconds."""
    chance, clock = np.random.default_rng(5), SteadyClock(48_000)
    for number in range(0, 48_000 * 60, 960):
        clock.add(number, 7.0 + number * (1 + 60e-6) / 48_000 + chance.normal(0, 0.002))
    assert clock.period * 48_000 == pytest.approx(1 + 60e-6, abs=10e-6)
    assert clock.when(0) == pytest.approx(7.0, abs=0.002)
    assert not clock.add(48_000 * 60, 70.0)  # a device opened again


class Together:
    """Speaker and microphone in one room; a sentence is over when its sound is."""

    name = "made room"

    def __init__(self, room: Room, spoken: list[Samples], *, fails: bool = False) -> None:
        self._due, self._line = list(spoken), np.zeros(0, np.int16)
        self._given, self._room, self._fails = 0, room, fails
        self._change = threading.Condition()
        self._left = 0
        self.captured_at = BEGIN
        self._new: list[PlayedPart] = []

    def say(self, text: str) -> bool:
        if self._fails:
            return False
        with self._change:
            self._line = np.concatenate([self._line, self._due.pop(0)])
            self._change.wait_for(lambda: not len(self._line))
        return True

    def taken(self) -> list[PlayedPart]:
        new, self._new = self._new, []
        return new

    def blocks(self) -> Iterator[Samples]:
        played = np.zeros(0, np.int16)
        for at in range(0, 10_000 * BLOCK, BLOCK):
            with self._change:
                part, self._line = self._line[:BLOCK], self._line[BLOCK:]
                self._change.notify_all()
            played = np.concatenate([played, part, np.zeros(BLOCK - len(part), np.int16)])
            heard_at = BEGIN + at / SAMPLE_RATE
            sound = played[at:].astype(np.float32) / 32_768
            self._new.append(PlayedPart(sound, SAMPLE_RATE, heard_at))
            self.captured_at = heard_at + BLOCK / SAMPLE_RATE
            yield self._heard(played)[at : at + BLOCK]

    def _heard(self, played: Samples) -> Samples:
        late = round(self._room.delay * SAMPLE_RATE)
        echo = np.concatenate([np.zeros(late), played])[: len(played)] * self._room.gain
        return np.round(echo + np.random.default_rng(1).normal(0, 5, len(played))).astype(np.int16)

    def close(self) -> None:
        pass


def check(room: Together) -> ToolVoiceLeft:
    return measure_tool_voice(room, room, room.say)


def test_what_is_left_is_told_in_decibels(spoken: list[Samples]) -> None:
    found = check(Together(Room(0.1, 0.3), spoken))
    assert found.heard
    assert found.usable
    assert found.removed_db > 15
    assert found.delay_ms == pytest.approx(100, abs=5)
    assert any("hearing.talk_over true" in line for line in found.lines())


def test_earphones_are_told(spoken: list[Samples]) -> None:
    found = check(Together(Room(0.1, 0.3, gain=0.0), spoken))
    assert not found.heard
    assert any("hearing.headset true" in line for line in found.lines())


def test_a_voice_that_does_not_play_is_one_sentence(spoken: list[Samples]) -> None:
    with pytest.raises(EngineUnavailable):
        check(Together(Room(0.1, 0.3), spoken, fails=True))


def through(device: Device, own: ToolVoice, heard: Samples, begin: int) -> list[bool]:
    """Return block by block whether the way is known, from sample ``begin`` of the scene on."""
    trusted = []
    for at in range(begin, len(heard) - BLOCK + 1, BLOCK):
        device.now = BEGIN + (at + BLOCK) / SAMPLE_RATE
        own.judge(own.take(heard[at : at + BLOCK], device.now))
        trusted.append(own.trusted)
    return trusted


def scene(spoken: list[Samples]) -> Samples:
    pause = np.zeros(SAMPLE_RATE // 2, np.int16)
    return np.concatenate([part for one in spoken for part in (one, pause)])


@pytest.mark.parametrize("louder_db", [0.0, 10.0])
def test_a_person_does_not_make_the_way_unknown_and_a_way_that_changes_does(
    spoken: list[Samples], louder_db: float
) -> None:
    played = scene(spoken)
    room, other = Room(0.1, 0.3, gain=0.1), Room(0.15, 0.6, gain=0.5)
    heard, half = room.heard(played).astype(np.float64), len(played) // 2 // BLOCK * BLOCK
    person = recording("human/right.wav").astype(np.float64)
    person *= 10 ** (louder_db / 20) * speech_rms(heard) / speech_rms(person)
    over = heard.copy()
    begin = half + int(np.flatnonzero(np.abs(heard[half:]) > 500)[0])
    over[begin : begin + len(person)] += person
    for what, kept in ((over, True), (other.heard(played).astype(np.float64), False)):
        device = Device(played, 1.0)
        own = ToolVoice(device)
        assert through(device, own, room.heard(played)[:half], 0)[-1]
        rest = np.clip(np.round(what), -32_768, 32_767).astype(np.int16)
        assert all(through(device, own, rest[: half + 3 * SAMPLE_RATE], half)) == kept


def test_what_was_left_before_the_way_was_known_does_not_count() -> None:
    over = OverVoice(cancelled=True)
    loud = np.random.default_rng(1).normal(0, 3_000, BLOCK).astype(np.int16)
    over.speaking(True)
    for _ in range(50):
        over.take(loud)
    assert over.own_db is not None
    over.shut()
    assert over.own_db is None
    for _ in range(40):
        assert over.take(loud // 100) == []
    over.take(loud)
    assert over.take(loud)
    assert over.open
