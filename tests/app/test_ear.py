"""The ear's thread: what is heard between one reply and the next."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Iterator

import numpy as np
import pytest

from callout.core.conversation.sound import SoundNotice
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard
from callout.hearing.ear import Ear
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.ports.hearing import SAMPLE_RATE, Samples
from tests.app.test_turns import Listener
from tests.hearing.recordings import in_a_room, listening_for

pytestmark = pytest.mark.audio


class Live:
    """A source that gives what it is fed, until it is closed."""

    name = "fed by hand"

    def __init__(self) -> None:
        self.fed: queue.Queue[Samples | None] = queue.Queue()

    def blocks(self) -> Iterator[Samples]:
        while (block := self.fed.get()) is not None:
            yield block

    def feed(self, samples: Samples) -> None:
        for at in range(0, len(samples) - BLOCK + 1, BLOCK):
            self.fed.put(samples[at : at + BLOCK])

    def close(self) -> None:
        self.fed.put(None)


class Sink:
    """Keeps what is heard; the session deals with it when the test says so."""

    def __init__(self) -> None:
        self.heard: queue.Queue[tuple[str, Heard]] = queue.Queue()
        self.began: queue.Queue[float | None] = queue.Queue()
        self.spoke: queue.Queue[int] = queue.Queue()

    def on_heard(
        self,
        item_id: str,
        heard: Heard,
        began: float | None = None,
        seat: Role | None = None,
        sound: Samples | None = None,
    ) -> None:
        self.began.put(began)
        self.heard.put((item_id, heard))

    def on_disturbed(self, notice: SoundNotice) -> None:
        pass

    def on_failure(self, message: str, hint: str) -> None:
        pass

    def on_recovery(self) -> None:
        pass

    def on_speech(self) -> None:
        self.spoke.put(self.heard.qsize())


def named(name: str) -> CandidateSet:
    return CandidateSet(name, listening_for("on").candidates)


@pytest.fixture
def ear() -> Iterator[tuple[Ear, Live, Sink, Listener]]:
    source, sink, listener = Live(), Sink(), Listener()
    made = Ear(source, Segmenter(), listener, tail=0.0)
    made.listen(named("first"))
    made.start(sink)  # type: ignore[arg-type]
    yield made, source, sink, listener
    made.close()


@pytest.mark.parametrize("late_blocks", [0, 10, 30])
def test_a_reply_that_begins_while_the_last_is_dealt_with_is_heard_whole(
    ear: tuple[Ear, Live, Sink, Listener], late_blocks: int
) -> None:
    made, source, sink, listener = ear
    one = in_a_room("human/on.wav")
    source.feed(one)
    assert sink.heard.get(timeout=200)[0] == "first"
    begun = 8000 // BLOCK + late_blocks
    source.feed(one[: begun * BLOCK])  # the next speaker has begun
    threading.Event().wait(0.2)
    made.listen(named("second"))
    made.taken()
    source.feed(one[begun * BLOCK :])
    item, _ = sink.heard.get(timeout=200)
    assert item == "second"
    whole = listener.decided[1]
    assert np.abs(whole).max() == np.abs(one).max()
    assert len(whole) == pytest.approx(len(listener.decided[0]), abs=BLOCK)


def test_what_is_said_while_the_tool_speaks_is_dropped(
    ear: tuple[Ear, Live, Sink, Listener],
) -> None:
    made, source, sink, listener = ear
    one = in_a_room("human/on.wav")
    source.feed(one)
    sink.heard.get(timeout=200)
    source.feed(one)
    made.stop_listening()
    made.taken()
    source.feed(np.zeros(BLOCK * 4, np.int16))
    threading.Event().wait(0.3)
    made.listen(named("second"))
    source.feed(np.zeros(BLOCK * 40, np.int16))
    with pytest.raises(queue.Empty):
        sink.heard.get(timeout=0.5)
    assert len(listener.decided) == 1


@pytest.mark.parametrize(("spoke", "pause", "sure"),
                         [(True, 0, False), (True, 16, True), (False, 0, True)])  # fmt: skip
def test_speech_under_way_when_armed_after_the_tools_voice_is_not_sure(
    ear: tuple[Ear, Live, Sink, Listener], spoke: bool, pause: int, sure: bool
) -> None:
    """It may be the tool's own voice, or half a reply; the listener is as sure as can be of less
    than that, and after a pause it is believed."""
    made, source, sink, _ = ear
    one = in_a_room("human/on.wav")
    source.feed(one)
    assert sink.heard.get(timeout=200)[0] == "first"
    made.stop_listening()
    made.tool_speaks(spoke)
    made.taken()
    source.feed(np.zeros(BLOCK * 4, np.int16))
    threading.Event().wait(0.3)
    made.tool_speaks(False)
    made.listen(named("second"))
    begins = int(np.flatnonzero(np.abs(one) > 1000)[0])
    source.feed(np.concatenate([np.zeros(pause * BLOCK, np.int16), one[begins:]]))
    item, heard = sink.heard.get(timeout=200)
    assert item == "second"
    assert heard.sure == sure


class Clocked(Live):
    """A live source that knows when its blocks were captured, as a microphone does.

    Its blocks all come at once, so that the time it takes to deal with them shows.
    """

    began_at = 1_000.0

    def __init__(self) -> None:
        super().__init__()
        self.captured_at = self.began_at

    def blocks(self) -> Iterator[Samples]:
        for block in super().blocks():
            self.captured_at += BLOCK / SAMPLE_RATE
            yield block


class Slow(Listener):
    """A recogniser that takes its time over every opinion."""

    def decide(self) -> Heard:
        time.sleep(0.8)
        return super().decide()

    def guess(self) -> Heard:
        time.sleep(0.8)
        return super().guess()


@pytest.mark.parametrize("listener", [Listener(), Slow()])
def test_a_reply_began_when_speech_began_however_long_it_takes_to_recognise(
    listener: Listener,
) -> None:
    source, sink = Clocked(), Sink()
    made = Ear(source, Segmenter(), listener, tail=0.0)
    made.listen(named("first"))
    made.start(sink)  # type: ignore[arg-type]
    try:
        source.feed(in_a_room("human/on.wav"))
        _, heard = sink.heard.get(timeout=200)
        assert heard.start > 0.3
        assert sink.began.get(timeout=200) == pytest.approx(source.began_at + heard.start)
    finally:
        made.close()


class Fed(Live):
    """A recording, given by hand."""


@pytest.mark.parametrize("again", [True, False])
def test_a_recording_goes_on_where_the_same_is_asked_again_while_it_plays(again: bool) -> None:
    source, sink, listener = Fed(), Sink(), Listener()
    made = Ear(source, Segmenter(), listener, live=False)
    made.listen(named("first"))
    made.start(sink)  # type: ignore[arg-type]
    try:
        one = in_a_room("human/on.wav")
        middle = (int(np.flatnonzero(np.abs(one) > 1000)[0]) // BLOCK + 4) * BLOCK
        source.feed(one[:middle])
        while not source.fed.empty():
            threading.Event().wait(0.02)
        threading.Event().wait(0.2)
        made.stop_listening()
        made.listen(named("first" if again else "second"))
        source.feed(one[middle:])
        item, _ = sink.heard.get(timeout=200)
        assert item == ("first" if again else "second")
        whole = np.abs(listener.decided[0]).max() == np.abs(one).max()
        assert (len(listener.decided[0]) >= len(one) // 3 and whole) == again
    finally:
        made.close()


def test_that_somebody_has_begun_to_speak_is_told_once_and_at_once(
    ear: tuple[Ear, Live, Sink, Listener],
) -> None:
    _, source, sink, _ = ear
    one = in_a_room("human/on.wav")
    source.feed(one)
    assert sink.spoke.get(timeout=200) == 0, "before it is known what was said"
    sink.heard.get(timeout=200)
    assert sink.spoke.empty()
