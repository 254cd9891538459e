"""What every speaker promises (callout/ports/speaking.py)."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator

import pytest

from callout.ports.speaking import Speaker
from callout.speaking.embedded_voice import EmbeddedVoice
from callout.speaking.outlets import Outlet
from callout.speaking.silent import SilentSpeaker
from callout.speaking.voice import ChildVoice
from tests.speaking.children import BABBLES, CANNOT, DIES, HANGS, SPEAKS, child
from tests.speaking.test_embedded_voice import RENDERER, Kept


def _embedded(outlet: Callable[[], Outlet]) -> Speaker:
    return EmbeddedVoice(outlet=outlet, renderer=lambda: RENDERER)


MAKERS: dict[str, Callable[[], Speaker]] = {
    "silent": SilentSpeaker,
    "silent, paced": lambda: SilentSpeaker(words_per_minute=60_000),
    "voice of this machine": lambda: ChildVoice(volume=0.0),
    "embedded voice of this machine": lambda: EmbeddedVoice(volume=0.0),
    "embedded voice": lambda: _embedded(Kept),
    "embedded voice cut only": lambda: _embedded(lambda: Kept(endless=True)),
    "embedded voice whose speaker fails": lambda: _embedded(lambda: Kept(broken=99)),
    "voice": lambda: ChildVoice(child=child(SPEAKS)),
    "voice that hangs": lambda: ChildVoice(
        child=child(HANGS), start_s=0.1, device_s=0.0, word_s=0.0
    ),
    "voice that dies": lambda: ChildVoice(child=child(DIES)),
    "voice that cannot": lambda: ChildVoice(child=child(CANNOT)),
    "voice that babbles": lambda: ChildVoice(child=child(BABBLES)),
}


@pytest.fixture(params=MAKERS)
def speaker(request: pytest.FixtureRequest) -> Iterator[Speaker]:
    made = MAKERS[request.param]()
    yield made
    made.close()


@pytest.mark.parametrize("text", ["", "Beacon", "Höhe \u2708 \x00 \n", "no\\n\"quotes'"])
def test_say_tells_whether_it_was_spoken_and_never_raises(speaker: Speaker, text: str) -> None:
    assert speaker.say(text) in (True, False)


def test_stop_without_speech_does_no_harm(speaker: Speaker) -> None:
    speaker.stop()
    first = speaker.say("Beacon")
    speaker.stop()
    assert isinstance(first, bool)


def test_stop_from_another_thread_while_speaking(speaker: Speaker) -> None:
    done = threading.Event()

    def stop_until_done() -> None:
        while not done.wait(0.01):
            speaker.stop()

    stopper = threading.Thread(target=stop_until_done)
    stopper.start()
    try:
        assert isinstance(speaker.say("one two three"), bool)
    finally:
        done.set()
        stopper.join()


def test_after_close_nothing_is_spoken_and_closing_again_is_safe(speaker: Speaker) -> None:
    speaker.close()
    speaker.close()
    assert speaker.say("Beacon") is False
    speaker.stop()


def test_it_has_a_name(speaker: Speaker) -> None:
    assert speaker.name


def test_a_paced_silence_is_cut_like_speech() -> None:
    speaker = SilentSpeaker(words_per_minute=1)
    timer = threading.Timer(0.05, speaker.stop)
    timer.start()
    assert speaker.say("one hour of silence " * 20) is False
    timer.join()
