"""What an unsure utterance leads to: asked again, or left alone as a side remark."""

from __future__ import annotations

import pytest

from callout.app.shared.command_tables import default_commands
from callout.core.checklist_run.records import Commanded, Remarked, Replied
from callout.core.checklist_run.viewing import view_of
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.view_model import Doing
from callout.core.drill.entries import Page, entries_of
from callout.core.drill.evidence import Weakness
from callout.core.drill.exercise import Mode
from callout.core.drill.exercises import exercises_of
from callout.core.drill.picking import Pick
from callout.core.drill.records import DrillCommanded, DrillRemarked, ExerciseAnswered
from callout.core.drill.turn import drill_target
from callout.core.judging.parse_answer import parse_answer
from callout.core.model.expectation import Expectation
from callout.core.model.heard import Heard
from callout.core.model.utterance import spoken_utterance
from callout.core.model.verdict import Verdict
from callout.core.understanding.hearing_verdict import judge_heard
from tests.core.drill.drill_kit import TABLES, Drill
from tests.core.session_kit import Desk, item, plan


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
    doubtful = spoken_utterance(Heard(text="stop", transcript="Boss on", sure=False))
    assert doubtful.words == "Boss on"
    assert spoken_utterance(Heard(text="stop", sure=False)).words == "stop"
    assert (
        spoken_utterance(Heard(text="both on", transcript="Boss on", sure=True)).words == "both on"
    )


@pytest.mark.parametrize(
    ("expect", "text", "transcript", "verdict"),
    [
        ("left", "left", "Left over.", Verdict.UNCLEAR),
        ("closed and armed", "closed and armed", "Closed and arming.", Verdict.UNCLEAR),
        ("on", "on", "I'll switch it on.", Verdict.UNCLEAR),
        ("down", "down", "Down but not locked.", Verdict.UNCLEAR),
        ("down", "down", "Down and lock three greens.", Verdict.MATCH),
        ("on", "on", "Of.", Verdict.MATCH),
        ("both on", "both on", "Boss on.", Verdict.MATCH),
        ("avionics master", "avionics master", "If the onyx master.", Verdict.MATCH),
        ("on", "on", "On if the light is out.", Verdict.UNCLEAR),
    ],
)
def test_a_reply_is_not_believed_where_the_words_as_written_say_something_else(
    expect: str, text: str, transcript: str, verdict: Verdict
) -> None:
    heard = Heard(text, transcript, confidence=0.95, sure=True)
    expected = Expectation((parse_answer(expect, TABLES),))
    assert judge_heard(heard, expected, TABLES, default_commands()).verdict is verdict


@pytest.mark.parametrize(
    ("expect", "transcript"),
    [("both off", "Those are."), ("read and signed", "Brett had signed."), ("on", "All right.")],
)
def test_words_as_written_that_the_sound_contradicts_contradict_nothing(
    expect: str, transcript: str
) -> None:
    expected = Expectation((parse_answer(expect, TABLES),))
    for misread, verdict in ((False, Verdict.UNCLEAR), (True, Verdict.MATCH)):
        heard = Heard(expect, transcript, confidence=0.95, sure=True, misread=misread)
        assert judge_heard(heard, expected, TABLES, default_commands()).verdict is verdict
    unsure = Heard(expect, transcript, confidence=0.95, misread=True)
    assert judge_heard(unsure, expected, TABLES, default_commands()).verdict is Verdict.UNCLEAR


def test_without_ears_the_screen_waits_for_the_keyboard(desk: Desk) -> None:
    assert view_of(desk.state).doing is Doing.LISTENING
    failed = ev.AdapterFailed(desk.stamp(), "hearing", "There is no microphone.", "Plug one in.")
    desk.feed(failed)
    view = view_of(desk.state)
    assert view.doing is Doing.WAITING
    assert view.troubles[0].message == "There is no microphone. Plug one in."


ENGINE = item("engine", "Engine", "running", wrong=("stop", "hold"))
SAID = ["running", "stop", "hold", "skip", "engine running", "off", "not running", "say again",
        "they are still loading the bags", "the time", ""]  # fmt: skip


def by_session(heard: Heard) -> tuple[str, str]:
    """Return what a session made of ``heard``: verdict and code, or what else it was."""
    desk = Desk(plan(items=(ENGINE, item("doors", "Doors", "closed")))).start()
    desk.feed(ev.HeardReply(desk.stamp(), "engine", heard, desk.now))
    for record in (x.record for x in desk.last if isinstance(x, e.Record)):
        if isinstance(record, Replied):
            return record.verdict.value, record.code
        if isinstance(record, Commanded):
            return "unclear", "command"
        if isinstance(record, Remarked):
            return "unclear", "unrelated"
    raise AssertionError("nothing was written down")


def by_drill(heard: Heard) -> tuple[str, str]:
    """Return what a drill of the same item made of ``heard``."""
    (entry,) = entries_of([Page("S", plan(items=(ENGINE,)))])
    given = exercises_of([Pick(entry, 0.5, 0.5, Weakness.NONE)], Mode.CHALLENGE, "a", TABLES)
    drill = Drill(given)
    before = len(drill.records)
    drill.feed(ev.HeardReply(drill.stamp(), drill_target(drill.state.progress), heard, drill.now))
    for record in drill.records[before:]:
        if isinstance(record, ExerciseAnswered):
            return record.verdict.value, record.code
        if isinstance(record, DrillCommanded):
            return "unclear", "command"
        if isinstance(record, DrillRemarked):
            return "unclear", "unrelated"
    raise AssertionError("nothing was written down")


@pytest.mark.parametrize("sure", [True, False], ids=["sure", "unsure"])
@pytest.mark.parametrize("words", SAID)
def test_sessions_drills_and_recordings_have_one_rule(words: str, sure: bool) -> None:
    heard = Heard(words, words, 0.97 if sure else 0.4, sure)
    rule = judge_heard(heard, ENGINE.expectation, TABLES, default_commands())
    assert by_session(heard) == by_drill(heard) == (rule.verdict.value, rule.code)


def test_a_command_that_the_item_lists_as_wrong_is_a_wrong_reply() -> None:
    heard = Heard("stop", "stop", 0.97, True)
    rule = judge_heard(heard, ENGINE.expectation, TABLES, default_commands())
    assert (rule.verdict, rule.code) == (Verdict.MISMATCH, "named-wrong")
