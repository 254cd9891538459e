"""Which recording answers what."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.running.demo import TRIES, Script, load_demo
from callout.errors import CalloutError
from callout.hearing.played import Recording

FIRST, SECOND = Recording(Path("a.wav"), "off"), Recording(Path("b.wav"), "on")


def test_replies_are_given_in_order_and_the_last_again_a_few_times() -> None:
    script = Script({"brake": [FIRST, SECOND]})
    script.cue("brake")
    assert script.next() == FIRST
    assert [script.next() for _ in range(TRIES)] == [SECOND] * TRIES
    with pytest.raises(CalloutError, match="brake"):
        script.next()


def test_each_item_has_its_own_place_in_its_replies() -> None:
    """A deferred item continues where it was left."""
    script = Script({"flaps": [FIRST, SECOND], "doors": [SECOND]})
    script.cue("flaps")
    script.next()
    script.cue("doors")
    script.next()
    script.cue("flaps")
    assert script.next() == SECOND


def test_a_question_without_recordings_ends_the_demonstration() -> None:
    script = Script({"doors": [FIRST]})
    script.cue("@stop")
    with pytest.raises(CalloutError, match="no further reply"):
        script.next()


def test_the_shipped_demonstration_answers_every_item_that_applies() -> None:
    demo = load_demo()
    for item in demo.plan.items:
        demo.script.cue(item.id)
        if item.applicable:
            recording = demo.script.next()
            assert recording is not None
            assert recording.path.is_file()
            assert recording.words.startswith('"')
