"""A session with its real ear and recogniser, in a room where the tool's own voice is heard."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray

from callout.app.running.machines import LIST
from callout.app.running.runner import Runner
from callout.app.running.session_parts import Parts
from callout.app.running.speech import Speech
from callout.app.running.wiring import SystemClock
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.records import Replied
from callout.core.checklist_run.state import Context, SessionState
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for
from callout.hearing.cabin_noise import speech_rms
from callout.hearing.ear import Ear
from callout.hearing.over_voice import OverVoice
from callout.hearing.passage import Passage
from callout.hearing.segmenter import BLOCK, BLOCK_SECONDS, Segmenter
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.ports.keys import KeySink
from tests.app.session_fakes import Log, MemoryJournal, NotingView
from tests.core.session_kit import item, plan
from tests.hearing.recordings import embedded, recording

pytestmark = pytest.mark.audio

OVER = "over the challenge"
AFTER = "after it"
LEFT, RIGHT = recording("human/left.wav"), recording("human/right.wav")
OWN_DB = -10.0
"""How loud the tool arrives at the microphone, relative to the person."""

LONGEST_BLOCKS = 600
"""The room ends after so many (19 s), so that a session that does not hear ends too."""


class Room:
    """The tool's voice and its microphone in one room, and a person in it; in real time.

    said: when (OVER or AFTER the tool's words), seconds from then, and what is said.
    """

    name = "room"

    def __init__(self, said: list[tuple[str, float, Samples]]) -> None:
        tool = recording("drill/avionics-master.wav").astype(np.float64)
        wanted = 10 ** (OWN_DB / 20) * speech_rms(RIGHT)
        self._tool = tool * wanted / speech_rms(tool)
        self._said = said
        self._voice = self._person = np.zeros(0)
        self._lock = threading.Condition()
        self._over = self._is_cut = False
        self.cut = 0
        """How often the tool was stopped in the middle of something."""

    def say(self, text: str) -> bool:
        """Speak, long enough to be known before anybody answers; soon done when nobody will."""
        with self._lock:
            self._is_cut = False
            self._voice = np.tile(self._tool, 2) if self._said else self._tool[:BLOCK]
            self._person_speaks(OVER)
            self._lock.wait_for(lambda: not len(self._voice) or self._over)
            if not self._is_cut:
                self._person_speaks(AFTER)
            return not self._is_cut

    def stop(self) -> None:
        """Be silent at once."""
        with self._lock:
            if len(self._voice):
                self.cut += 1
                self._is_cut = True
                self._voice = self._voice[:0]
                self._lock.notify_all()

    def blocks(self) -> Iterator[Samples]:
        """Yield what the microphone hears, no sooner than a microphone would."""
        hiss = np.random.default_rng(1)
        began = time.monotonic()
        for number in range(1, LONGEST_BLOCKS):
            time.sleep(max(0.0, began + number * BLOCK_SECONDS - time.monotonic()))
            with self._lock:
                if self._over:
                    return
                sound = hiss.normal(0.0, 3.0, BLOCK) + self._next()
                self._lock.notify_all()
            yield np.clip(sound, -32_768, 32_767).astype(np.int16)

    def close(self) -> None:
        """End."""
        with self._lock:
            self._over = True
            self._lock.notify_all()

    def _person_speaks(self, when: str) -> None:
        """Begin what is to be said now."""
        if self._said and self._said[0][0] == when:
            _, wait, words = self._said.pop(0)
            self._person = np.concatenate([np.zeros(round(wait * SAMPLE_RATE)), words])

    def _next(self) -> NDArray[np.float64]:
        both = np.zeros(BLOCK)
        for sound in (self._voice, self._person):
            both[: len(sound[:BLOCK])] += sound[:BLOCK]
        self._voice, self._person = self._voice[BLOCK:], self._person[BLOCK:]
        return both


class Hands:
    """Nobody types: where the room ends too, so does the session."""

    def start(self, sink: KeySink) -> None:
        """Say so."""
        sink.on_input_ended()

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Nobody types."""

    def taken(self) -> None:
        """Nothing was typed."""

    def close(self) -> None:
        """Nothing to give back."""


def replies_in(room: Room, right: str, wrong: str, *, headset: bool) -> list[tuple[str, Verdict]]:
    """Run a list of one item to its end and return every reply that was judged, as understood."""
    pacing = Pacing(silence_s=0, barge_in=headset)
    over = OverVoice() if headset else None
    ear = Ear(room, Segmenter(), embedded(), tail=0.0, passage=Passage(over))
    journal, log = MemoryJournal(Log()), Log()
    parts = Parts(journal, NotingView(log), Hands(), Speech(room), SystemClock(), ear)
    context = Context(default_commands(), default_tables(), pacing, candidates_for, True, ear.name)
    runner = Runner(SessionState(context), parts, LIST, safety="Training only.")
    one = plan(items=(item("avionics", "Avionics master", right, wrong=(wrong,)),))
    summary = runner.run(lambda stamp: ev.Started(stamp, "s", one))
    assert summary.ending is Ending.COMPLETED
    assert not log.of("notice")
    found = [record for record in journal.records if isinstance(record, Replied)]
    return [(record.utterance.text, record.verdict) for record in found]


def test_without_a_headset_only_what_follows_the_tools_voice_is_a_reply() -> None:
    room = Room([(OVER, 0.6, LEFT), (AFTER, 0.6, RIGHT)])
    assert replies_in(room, "right", "left", headset=False) == [("right", Verdict.MATCH)]
    assert room.cut == 0


def test_with_a_headset_a_reply_over_the_challenge_counts_and_stops_the_tool() -> None:
    room = Room([(OVER, 1.4, RIGHT)])
    assert replies_in(room, "right", "left", headset=True) == [("right", Verdict.MATCH)]
    assert room.cut == 1


def test_with_a_headset_a_wrong_reply_over_the_challenge_is_told_as_wrong() -> None:
    room = Room([(OVER, 1.4, RIGHT), (AFTER, 0.6, LEFT)])
    found = replies_in(room, "left", "right", headset=True)
    assert found == [("right", Verdict.MISMATCH), ("left", Verdict.MATCH)]
    assert room.cut == 1
