"""Replies with the tool's own challenge mixed into them, heard by the real ear."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

import numpy as np

from callout.app.listening.recordings import expected_reply
from callout.bench.corpora import BOTH, OPPOSITE, CorpusKind, CorpusRecording
from callout.bench.hearing_trials import Bench, HearingTrial
from callout.bench.own_voice_scenes import Cue, Scene, Way, stage
from callout.bench.phrases import CHALLENGES, VOICES
from callout.bench.synth import synthesise, voices
from callout.core.conversation.sound import SoundNotice
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard
from callout.errors import CalloutError, EngineUnavailable
from callout.hearing.ear import Ear
from callout.hearing.over_voice import OverVoice
from callout.hearing.passage import Passage
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.tool_voice import ToolVoice
from callout.ports.hearing import SAMPLE_RATE, Recogniser, Samples
from callout.ports.played_sound import PlayedPart

LEVELS = (-20.0, -10.0, -5.0)
"""The challenge relative to the reply in dB."""
_BEGIN_S = 1_000.0
"""When a scene begins, by the machine's clock."""
_AHEAD_S, _BUFFER, _CHANCE_S = 0.08, 320, 0.001
"""A device is given so much ahead, in buffers of so many samples, at times so far off."""


def meeting(way: Way, level: float) -> str:
    """Return the name under which trials are counted."""
    return f"{way.value}, {level:g} dB"


def contrary(name: str) -> str:
    """Return the condition of the second hearing, which expects the opposite."""
    return f"{name}, contrary"


def alone(name: str) -> str:
    """Return the condition of the challenge without a reply."""
    return f"{name}, alone"


def own_voice_over(bench: Bench, replies: Iterable[CorpusRecording]) -> Iterator[HearingTrial]:
    """Yield trials of each reply in each way and level, heard twice, then of challenges alone.

    Raises EngineUnavailable where no voice is installed.
    """
    there = _voices_here()
    for number, reply in enumerate(replies):
        voice = there[number % len(there)]
        asked, earlier = (CHALLENGES[(number // len(there) + n) % len(CHALLENGES)] for n in (0, 1))
        said, before = synthesise(asked, voice), synthesise(earlier, voice)
        for way, level in product(Way, LEVELS):
            scene, name = stage(way, reply.samples, said, level, before), meeting(way, level)
            yield _heard(bench, reply, scene, name, reply.said, asked)
            other = OPPOSITE[reply.said]
            yield _heard(bench, reply, scene, contrary(name), other, asked)
    yield from challenges_alone(bench)


def challenges_alone(bench: Bench) -> Iterator[HearingTrial]:
    """Yield trials of every challenge in every voice, in each way and level, nobody replying."""
    for number, (voice, text) in enumerate(product(_voices_here(), CHALLENGES)):
        sound = synthesise(text, voice)
        one = CorpusRecording(text, voice, CorpusKind.NOISE, "", BOTH, sound)
        for way, level in product(Way, LEVELS):
            scene = stage(way, np.zeros(0, np.int16), sound, level)
            expect = BOTH[number % len(BOTH)]
            yield _heard(bench, one, scene, alone(meeting(way, level)), expect, text)


def listen_in(
    scene: Scene, recogniser: Recogniser, candidates: CandidateSet
) -> tuple[list[Heard], bool]:
    """Return every utterance the ear reports in a scene, and whether it said somebody spoke up.

    Raises CalloutError where the ear fails. The ear is not closed, as that would free the
    recogniser: its thread ends with the scene.
    """
    source = _Staged(scene, candidates)
    own = None if scene.played is None else ToolVoice(_Loudspeaker(source, scene))
    passage = Passage(OverVoice() if scene.headset or own else None, own)
    ear = Ear(source, Segmenter(), recogniser, tail=0.0, passage=passage)
    sink = _Sink(ear, source)
    source.ear = ear
    ear.start(sink)
    sink.ended.wait()
    if not source.played:
        raise CalloutError(sink.trouble)
    return sink.heard, sink.spoke_up


def _voices_here() -> list[str]:
    there = [v for v in VOICES if v in voices()]
    if not there:
        hint = "On Debian or Ubuntu: apt-get install flite espeak-ng"
        raise EngineUnavailable("No synthetic voice is installed to say the challenges.", hint)
    return there


def _heard(
    bench: Bench,
    recording: CorpusRecording,
    scene: Scene,
    name: str,
    expect: str,
    asked: str,
) -> HearingTrial:
    """Hear a scene as at an item whose challenge is ``asked``: it may be echoed in the reply."""
    named = expected_reply([expect], [w for w in recording.among if w != expect])
    wanted = replace(named, challenge=asked)
    heard, spoke_up = listen_in(scene, bench.recogniser, bench.candidates(wanted))
    return bench.outcome(recording, name, expect, heard, wanted, spoke_up=spoke_up)


class _Staged:
    """A scene as a live source; a cue reaches the ear just before the block that it falls into."""

    name = "scene"

    def __init__(self, scene: Scene, candidates: CandidateSet) -> None:
        self.ear: Ear | None = None
        self.played = self.saying = False
        self.captured_at = _BEGIN_S
        self._scene = scene
        self._candidates = candidates

    def blocks(self) -> Iterator[Samples]:
        """Yield the scene's whole blocks."""
        due = list(self._scene.cues)
        samples = self._scene.samples
        for at in range(0, len(samples) - BLOCK + 1, BLOCK):
            while due and due[0][0] < at + BLOCK:
                self._give(due.pop(0)[1])
            self.captured_at = _BEGIN_S + (at + BLOCK) / SAMPLE_RATE
            yield samples[at : at + BLOCK]
        self.played = True

    def _give(self, cue: Cue) -> None:
        assert self.ear is not None
        if cue is Cue.LISTEN:
            self.ear.listen(self._candidates)
        else:
            self.saying = cue is Cue.VOICE
            self.ear.tool_speaks(self.saying)

    def close(self) -> None:
        """Nothing to stop."""


class _Loudspeaker:
    """What a scene plays, as a device is given it: ahead of time, at times that are not exact."""

    def __init__(self, source: _Staged, scene: Scene) -> None:
        assert scene.played is not None
        self._source, self._sound = source, scene.played.astype(np.float32) / 32_768
        self._slow = 1 + scene.drift * 1e-6
        self._given = 0
        self._chance = np.random.default_rng(2)

    def taken(self) -> list[PlayedPart]:
        """Return the buffers that the device has been given by now."""
        parts = []
        while self._given < len(self._sound):
            heard = _BEGIN_S + self._given * self._slow / SAMPLE_RATE
            if heard > self._source.captured_at + _AHEAD_S:
                break
            buffer = self._sound[self._given : self._given + _BUFFER].astype(np.float32)
            parts.append(PlayedPart(buffer, SAMPLE_RATE, heard + self._chance.normal(0, _CHANCE_S)))
            self._given += len(buffer)
        return parts


class _Sink:
    """Keeps what is heard and has the ear go on at once."""

    def __init__(self, ear: Ear, source: _Staged) -> None:
        self.heard: list[Heard] = []
        self.spoke_up = False
        """True if somebody was let through while the tool spoke."""
        self.trouble = ""
        self.ended = threading.Event()
        self._ear, self._source = ear, source

    def on_heard(
        self, item_id: str, heard: Heard, began: float | None = None, seat: Role | None = None
    ) -> None:
        """Keep it."""
        self.heard.append(heard)
        self._ear.taken()

    def on_speech(self) -> None:
        """Keep that somebody spoke up."""
        self.spoke_up |= self._source.saying

    def on_disturbed(self, notice: SoundNotice) -> None:
        """What a scene does to the sound is meant."""

    def on_failure(self, message: str, hint: str = "") -> None:
        """Take the end of the scene, or trouble."""
        self.trouble = message
        self.ended.set()

    def on_recovery(self) -> None:
        """A scene is never lost."""
