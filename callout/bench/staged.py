"""A scene played to the real ear like a live microphone, loudspeaker included."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass, field

import numpy as np

from callout.bench.own_voice_scenes import Cue, Scene
from callout.core.conversation.sound import SoundNotice
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard
from callout.errors import CalloutError
from callout.hearing.ear import Ear
from callout.hearing.over_voice import OverVoice
from callout.hearing.passage import Passage
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.tool_voice import ToolVoice
from callout.ports.hearing import SAMPLE_RATE, Recogniser, Samples
from callout.ports.played_sound import PlayedPart

_BEGIN_S = 1_000.0
"""When a scene begins, by the machine's clock."""
_AHEAD_S, _BUFFER, _CHANCE_S = 0.08, 320, 0.001
"""A device is given so much ahead, in buffers of so many samples, at times so far off."""
NOTHING = CandidateSet("nothing", ())


@dataclass(frozen=True, slots=True)
class Overheard:
    """What the ear reports about a scene."""

    heard: list[Heard]
    spoke_up: bool
    """True if somebody was let through while the tool spoke."""
    silent_at: int | None = None
    """Sample at which the voice fell silent because of that, where the scene allows it."""


@dataclass(frozen=True, slots=True)
class Learned:
    """A way into the ear that has heard the beginning of a scene."""

    passage: Passage
    loudspeaker: Loudspeaker


def listen_in(
    scene: Scene, recogniser: Recogniser, candidates: CandidateSet, learned: Learned | None = None
) -> Overheard:
    """Return what the ear reports of a scene, from its ``begin`` on.

    learned: what has heard the scene up to there; it stays as it is. Raises CalloutError where the
    ear fails. The ear is not closed, as that would free the recogniser: its thread ends with the
    scene.
    """
    source = Staged(scene, candidates)
    way = deepcopy(learned) if learned else way_into(scene)
    way.loudspeaker.source = source
    ear = Ear(source, Segmenter(), recogniser, tail=0.0, passage=way.passage)
    sink = _Sink(ear, source)
    source.ear = ear
    ear.start(sink)
    sink.ended.wait()
    if not source.played:
        raise CalloutError(sink.trouble)
    return Overheard(sink.heard, sink.spoke_up, source.silent_at)


def way_into(scene: Scene) -> Learned:
    """Return a way into the ear that has heard nothing yet."""
    loudspeaker = Loudspeaker(scene.drift)
    own = None if scene.played is None else ToolVoice(loudspeaker)
    over = OverVoice(cancelled=own is not None) if scene.headset or own else None
    return Learned(Passage(over, own), loudspeaker)


def learn_scene(scene: Scene, until: int) -> Learned:
    """Return a way into the ear that has heard a scene up to a sample; nobody may reply in it."""
    way, source = way_into(scene), Staged(scene, NOTHING)
    way.loudspeaker.source = source
    for number, block in enumerate(source.blocks()):
        if number * BLOCK >= until:
            break
        clean = way.passage.clean(block, source.captured_at)
        way.passage.take(clean, source.saying, number * BLOCK / SAMPLE_RATE)
    way.loudspeaker.source = None
    return way


class Staged:
    """A scene as a live source; a cue reaches the ear just before the block that it falls into."""

    name = "scene"

    def __init__(self, scene: Scene, candidates: CandidateSet) -> None:
        self.ear: Ear | None = None
        self.scene = scene
        self.played = self.saying = False
        self.captured_at = _BEGIN_S
        self.silent_at: int | None = None
        self._candidates = candidates
        self._due = [cue for cue in scene.cues if cue[0] >= scene.begin]
        self._at = 0

    def blocks(self) -> Iterator[Samples]:
        """Yield the scene's whole blocks."""
        for at in range(self.scene.begin, len(self.scene.samples) - BLOCK + 1, BLOCK):
            self._at = at
            while self._due and self._due[0][0] < at + BLOCK:
                self._give(self._due.pop(0)[1])
            self.captured_at = _BEGIN_S + (at + BLOCK) / SAMPLE_RATE
            yield self.scene.samples[at : at + BLOCK]
        self.played = True

    def hush(self) -> None:
        """End the tool's speech, as a session does when somebody speaks up; sound already given to
        the device is still heard.
        """
        if not self.saying or self.scene.hushed is None:
            return
        self.silent_at = self._at + BLOCK + round(_AHEAD_S * SAMPLE_RATE)
        self.scene = self.scene.hushed(self.silent_at)
        self._due = [(self._at + BLOCK, Cue.SILENT)]

    def _give(self, cue: Cue) -> None:
        if cue is not Cue.LISTEN:
            self.saying = cue is Cue.VOICE
        if self.ear is None:
            return
        if cue is Cue.LISTEN:
            self.ear.listen(self._candidates)
        else:
            self.ear.tool_speaks(self.saying)

    def close(self) -> None:
        """Nothing to stop."""


@dataclass
class Loudspeaker:
    """What a scene plays, as a device is given it: ahead of time, at times that are not exact.

    drift: by how much its clock is slower than the microphone's, in parts per million.
    """

    drift: float
    source: Staged | None = None
    given: int = 0
    chance: np.random.Generator = field(default_factory=lambda: np.random.default_rng(2))

    def taken(self) -> list[PlayedPart]:
        """Return the buffers that the device has been given by now."""
        assert self.source is not None
        sound, parts = self.source.scene.played, []
        assert sound is not None
        while self.given < len(sound):
            heard = _BEGIN_S + self.given * (1 + self.drift * 1e-6) / SAMPLE_RATE
            if heard > self.source.captured_at + _AHEAD_S:
                break
            buffer = sound[self.given : self.given + _BUFFER].astype(np.float32) / 32_768
            at = heard + self.chance.normal(0, _CHANCE_S)
            parts.append(PlayedPart(buffer.astype(np.float32), SAMPLE_RATE, at))
            self.given += len(buffer)
        return parts


class _Sink:
    """Keeps what is heard and has the ear go on at once."""

    def __init__(self, ear: Ear, source: Staged) -> None:
        self.heard: list[Heard] = []
        self.spoke_up = False
        self.trouble = ""
        self.ended = threading.Event()
        self._ear, self._source = ear, source

    def on_heard(
        self,
        item_id: str,
        heard: Heard,
        began: float | None = None,
        seat: Role | None = None,
        sound: Samples | None = None,
    ) -> None:
        """Keep it."""
        self.heard.append(heard)
        self._ear.taken()

    def on_speech(self) -> None:
        """Keep that somebody spoke up, and let the tool's voice end."""
        self.spoke_up |= self._source.saying
        self._source.hush()

    def on_disturbed(self, notice: SoundNotice) -> None:
        """What a scene does to the sound is meant."""

    def on_failure(self, message: str, hint: str = "") -> None:
        """Take the end of the scene, or trouble."""
        self.trouble = message
        self.ended.set()

    def on_recovery(self) -> None:
        """A scene is never lost."""
