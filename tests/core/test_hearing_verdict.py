"""What an unsure utterance leads to: asked again, or left alone as a side remark."""

from __future__ import annotations

import pytest

from callout.core import events as ev
from callout.core.heard import Heard
from callout.core.utterance import spoken
from callout.core.verdict import Verdict
from callout.core.view_model import Doing
from callout.core.viewing import view_of
from tests.core.session_kit import Desk


@pytest.fixture
def desk() -> Desk:
    return Desk().start()


@pytest.mark.parametrize("garbled", ["the time", "three times", "you are fine", ""])
def test_a_few_garbled_words_are_asked_again(desk: Desk, garbled: str) -> None:
    """Noise turns a short reply into other short words."""
    desk.say(garbled, sure=False)
    beacon = desk.state.progress.items[0]
    assert (beacon.unclear, beacon.remarks, beacon.asked) == (1, 0, 2)
    assert view_of(desk.state).verdict is Verdict.UNCLEAR


@pytest.mark.parametrize("chatter", ["they are still loading the bags", "nice weather over there"])
def test_a_sentence_to_somebody_else_is_left_alone(desk: Desk, chatter: str) -> None:
    desk.say(chatter, sure=False)
    beacon = desk.state.progress.items[0]
    assert (beacon.unclear, beacon.remarks, beacon.asked) == (0, 1, 1)


def test_an_unsure_guess_is_not_shown_as_heard() -> None:
    doubtful = spoken(Heard(text="stop", transcript="Boss on", sure=False))
    assert doubtful.words == "Boss on"
    assert spoken(Heard(text="stop", sure=False)).words == "stop"
    assert spoken(Heard(text="both on", transcript="Boss on", sure=True)).words == "both on"


def test_without_ears_the_screen_waits_for_the_keyboard(desk: Desk) -> None:
    assert view_of(desk.state).doing is Doing.LISTENING
    failed = ev.AdapterFailed(desk.stamp(), "hearing", "There is no microphone.", "Plug one in.")
    desk.feed(failed)
    view = view_of(desk.state)
    assert view.doing is Doing.WAITING
    assert view.troubles[0].message == "There is no microphone. Plug one in."
