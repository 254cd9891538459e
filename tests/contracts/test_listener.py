"""What every listener promises (callout/ports/listening.py)."""

from __future__ import annotations

import queue
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from callout.app.listening.background_ear import OpeningEar, played_ear
from callout.app.running.session_parts import Deaf
from callout.core.conversation.sound import SoundNotice
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard
from callout.errors import DeviceNotFound
from callout.hearing.ear import Ear
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.segmenter import Segmenter
from callout.hearing.wav_file import WavSource
from callout.ports.hearing import Samples
from callout.ports.listening import Listener, ListeningSink
from tests.hearing.recordings import listening_for

ON = Path(__file__).parents[2] / "audio_fixtures" / "human" / "on.wav"
WAIT_S = 60.0
"""A deadline for a test that hangs, not a measure."""


class Sink:
    """Keeps what is reported, in order."""

    def __init__(self) -> None:
        self.heard: queue.Queue[tuple[str, Heard]] = queue.Queue()
        self.failed: queue.Queue[str] = queue.Queue()

    def on_heard(
        self,
        item_id: str,
        heard: Heard,
        started_at: float | None = None,
        seat: Role | None = None,
        sound: Samples | None = None,
    ) -> None:
        self.heard.put((item_id, heard))

    def on_speech(self) -> None:
        """Nobody speaks over a recording."""

    def on_disturbed(self, notice: SoundNotice) -> None:
        """What spoils the sound is not kept here."""

    def on_failure(self, message: str, hint: str = "") -> None:
        self.failed.put(message)

    def on_recovery(self) -> None:
        """Nothing comes back here."""


def _ear() -> Listener:
    return Ear(WavSource(ON), Segmenter(), EmbeddedRecogniser(), live=False)


def _refused(sink: ListeningSink) -> Listener:
    raise DeviceNotFound("There is no microphone.", "Plug one in.")


HEAR: dict[str, Callable[[], Listener]] = {
    "recording": _ear,
    "recording opened in the background": lambda: played_ear([ON], "embedded"),
}
MAKERS: dict[str, Callable[[], Listener]] = {
    **HEAR,
    "deaf": Deaf,
    "one that cannot be opened": lambda: OpeningEar("microphone", _refused),
}


@pytest.fixture(params=MAKERS)
def listener(request: pytest.FixtureRequest) -> Iterator[Listener]:
    made = MAKERS[request.param]()
    yield made
    made.close()


@pytest.fixture(params=HEAR)
def hearing(request: pytest.FixtureRequest) -> Iterator[Listener]:
    made = HEAR[request.param]()
    yield made
    made.close()


def _armed(item_id: str) -> CandidateSet:
    return CandidateSet(item_id, listening_for("on").candidates)


@pytest.mark.audio
def test_its_name_says_what_hears(hearing: Listener) -> None:
    assert hearing.name


def test_one_that_hears_nothing_has_no_name() -> None:
    assert Deaf().name == ""


@pytest.mark.audio
def test_no_call_raises_in_whatever_order(listener: Listener) -> None:
    listener.listen(_armed("beacon"))
    listener.tool_speaks(True)
    listener.start(Sink())
    listener.tool_speaks(False)
    listener.listen(_armed("beacon"), attempt=2)
    listener.stop_listening()
    listener.taken()


@pytest.mark.audio
def test_what_is_heard_is_for_the_item_it_was_armed_for(hearing: Listener) -> None:
    sink = Sink()
    hearing.listen(_armed("beacon"))
    hearing.start(sink)
    item_id, heard = sink.heard.get(timeout=WAIT_S)
    assert item_id == "beacon"
    assert (heard.text, heard.sure) == ("on", True)


@pytest.mark.audio
def test_it_can_be_closed_twice_and_is_silent_then(hearing: Listener) -> None:
    sink = Sink()
    hearing.start(sink)
    hearing.close()
    hearing.close()
    hearing.listen(_armed("beacon"))
    with pytest.raises(queue.Empty):
        sink.heard.get(timeout=0.5)


def test_trouble_in_opening_is_reported_and_not_raised() -> None:
    sink, listener = Sink(), OpeningEar("microphone", _refused)
    listener.start(sink)
    assert sink.failed.get(timeout=WAIT_S) == "There is no microphone."
    listener.close()
