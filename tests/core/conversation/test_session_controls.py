"""Spoken, typed and single-key control of a session."""

from __future__ import annotations

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Choice, Ending
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.model.commands import Command
from tests.core.session_kit import Desk


@pytest.fixture
def desk() -> Desk:
    return Desk().start()


def test_say_again_repeats_the_challenge(desk: Desk) -> None:
    assert desk.say("say again").spoken == "Beacon?"


def test_hold_calls_the_item_and_continue_repeats_the_last_completed_one(desk: Desk) -> None:
    """After Flight Safety Foundation ALAR Briefing Note 1.5: call the hold at an item, call the
    resumption, repeat the last completed item; Transport Canada SOP template 1.9: "Holding at".
    """
    desk.say("on").say("hold")
    assert desk.spoken == "Holding at Fuel pump."
    assert desk.asking == "@hold"
    desk.say("tower good morning", sure=False).say("on")
    assert desk.outcomes()["pump"] == "open", "nothing is answered during a hold"
    desk.say("continue")
    expected = "Continuing at Fuel pump. Last completed: Beacon, on. Fuel pump?"
    assert desk.spoken == expected
    assert desk.say("on").asking == "altimeter"
    desk.check()


def test_skip_with_its_reason_in_one_breath(desk: Desk) -> None:
    desk.say("skip, inoperative")
    assert desk.outcomes()["beacon"] == "skipped"
    assert desk.state.progress.items[0].reason == "inoperative"


def test_skip_reason_is_taken_from_what_was_heard_word_for_word(desk: Desk) -> None:
    from callout.core.model.heard import Heard

    heard = Heard("skip", "skip because the lamp is broken", 0.98, sure=True)
    desk.now += 2
    desk.feed(ev.HeardReply(desk.stamp(), "beacon", heard))
    assert desk.state.progress.items[0].reason == "the lamp is broken"


def test_skip_asks_once_for_a_reason(desk: Desk) -> None:
    desk.say("skip")
    assert desk.spoken == "Skip Beacon: what is the reason?"
    desk.say("the lamp is broken", sure=False)
    assert desk.state.progress.items[0].reason == "the lamp is broken"
    assert desk.asking == "pump"


def test_silence_after_the_reason_question_skips_without_one(desk: Desk) -> None:
    desk.say("skip").wait()
    assert desk.outcomes()["beacon"] == "skipped"
    assert desk.state.progress.items[0].reason == ""
    assert desk.asking == "pump"


def test_a_critical_item_is_not_skipped_without_a_reason(desk: Desk) -> None:
    desk.say("on").say("skip").wait()
    assert desk.outcomes()["pump"] == "open"
    desk.say("skip")
    assert desk.outcomes()["pump"] == "open"
    desk.say("inoperative")
    assert desk.outcomes()["pump"] == "skipped"


def test_skip_can_be_taken_back_or_answered_after_all(desk: Desk) -> None:
    assert desk.say("skip").say("cancel").asking == "beacon"
    assert desk.say("skip").say("on").asking == "pump"
    assert desk.outcomes()["beacon"] == "answered"


def test_a_deferred_item_comes_back_before_the_completion_call(desk: Desk) -> None:
    desk.say("come back to that").say("on").say("one zero one three").say("closed and locked")
    assert desk.spoken == "Now the deferred items. Beacon?"
    desk.say("on")
    assert desk.state.progress.ending is Ending.COMPLETED
    beacon = desk.state.progress.items[0]
    assert beacon.deferred
    assert desk.outcomes()["beacon"] == "answered"


def test_an_open_deferred_item_keeps_the_list_open_until_said_aloud(desk: Desk) -> None:
    desk.say("come back to that").say("on").say("one zero one three").say("closed and locked")
    desk.say("come back to that")
    assert desk.asking == "@open-items"
    for words in ("on", "yes", "before start checklist complete", "complete"):
        desk.say(words)
        assert desk.asking == "@open-items"
        assert desk.state.progress.ending is None
    desk.say("leave them open", sure=False)
    assert desk.state.progress.ending is None
    desk.say("leave them open")
    assert desk.outcomes()["beacon"] == "left-open"
    assert desk.spoken == "Before start checklist complete, with 1 left open: Beacon."
    ended = desk.records[-1]
    assert isinstance(ended, r.Ended)
    assert ended.open_items == ("beacon",)
    assert any(isinstance(x, r.Decided) and x.choice is Choice.LEAVE_OPEN for x in desk.records)


def test_open_items_can_be_taken_now(desk: Desk) -> None:
    desk.say("come back to that").say("on").say("one zero one three").say("closed and locked")
    desk.say("defer").say("take them now")
    assert desk.asking == "beacon"
    assert desk.say("on").state.progress.ending is Ending.COMPLETED


def test_go_back_withdraws_the_last_outcome(desk: Desk) -> None:
    desk.say("on").say("on").say("go back")
    assert desk.asking == "pump"
    assert desk.outcomes()["pump"] == "open"
    desk.say("go back")
    assert desk.asking == "beacon"
    desk.say("on")
    assert desk.asking == "pump"
    desk.say("on")
    assert desk.asking == "altimeter"
    desk.check()


def test_go_back_at_the_first_item_says_so(desk: Desk) -> None:
    assert desk.say("go back").spoken == "This is the first item. Beacon?"


def test_go_back_undoes_a_deferral(desk: Desk) -> None:
    desk.say("defer").say("go back")
    assert desk.asking == "beacon"
    assert desk.state.progress.parked == ()


def test_what_is_left_names_open_and_deferred_items(desk: Desk) -> None:
    desk.say("defer").say("what is left")
    expected = "3 items left: Fuel pump, Altimeter and Doors. Deferred: Beacon. Now Fuel pump?"
    assert desk.spoken == expected


def test_pace_changes_what_is_said_next(desk: Desk) -> None:
    def pace() -> float:
        return next(x.pace for x in reversed(desk.effects) if isinstance(x, e.Say))

    assert pace() == 1.0
    desk.say("slower")
    assert pace() < 1.0
    desk.say("faster").say("faster").say("say again")
    assert pace() > 1.0
    for _ in range(9):
        desk.say("faster")
    assert pace() == 1.7


def test_quiet_only_shows_until_asked_to_read_aloud(desk: Desk) -> None:
    desk.say("quiet").say("on")
    assert desk.spoken == ""
    assert desk.asking == "pump"
    desk.say("read aloud")
    assert desk.spoken.endswith("Fuel pump?")


def test_help_shows_every_command_that_means_something(desk: Desk) -> None:
    desk.say("help")
    lines = desk.state.moment.lines
    assert len(lines) == len(Command) - 2
    assert not any("read aloud" in line for line in lines), "it is read aloud"
    assert not any("do it anyway" in line for line in lines)
    assert "say again" in lines[0]


def test_stop_asks_first(desk: Desk) -> None:
    desk.say("on").say("stop")
    assert desk.asking == "@stop"
    assert desk.say("no").asking == "pump"
    desk.say("stop").wait()
    assert desk.asking == "pump", "silence never ends a list"
    desk.say("stop").say("yes")
    assert desk.state.progress.ending is Ending.STOPPED
    ended = desk.records[-1]
    assert isinstance(ended, r.Ended)
    assert set(ended.open_items) == {"pump", "altimeter", "doors"}
    assert desk.outcomes()["pump"] == "left-open"


@pytest.mark.parametrize("words", ["skip, inoperative", "come back to that", "go back", "hold"])
def test_a_held_list_does_not_move(desk: Desk, words: str) -> None:
    desk.say("on").say("hold").say(words)
    assert "continue" in desk.spoken
    assert desk.asking == "@hold"
    assert desk.outcomes() == Desk().start().say("on").outcomes()


def test_an_unsure_yes_settles_nothing(desk: Desk) -> None:
    desk.say("stop").say("yes", sure=False)
    assert desk.asking == "@stop"


def test_stop_during_a_hold_refused_stays_on_hold(desk: Desk) -> None:
    desk.say("hold").say("stop").say("no")
    assert desk.asking == "@hold"


@pytest.mark.parametrize(
    ("key", "command"),
    [
        ("f2", Command.SAY_AGAIN),
        ("space", Command.HOLD),
        ("f5", Command.SKIP),
        (";", Command.DEFER),
        ("f7", Command.GO_BACK),
        ("tab", Command.WHAT_IS_LEFT),
        ("<", Command.SLOWER),
        (">", Command.FASTER),
        ("*", Command.QUIET),
        ("?", Command.HELP),
        ("escape", Command.STOP),
    ],
)
def test_each_command_has_a_single_key(desk: Desk, key: str, command: Command) -> None:
    desk.key(key)
    given = next(x for x in desk.records if isinstance(x, r.Commanded))
    assert given.command is command
    assert given.utterance.transcript == key


def test_one_key_holds_and_continues(desk: Desk) -> None:
    assert desk.key("space").asking == "@hold"
    assert desk.key("space").asking == "beacon"


def test_a_broken_off_session_goes_on_where_it_was(desk: Desk) -> None:
    from callout.core.checklist_run.replay import replay_list
    from callout.core.checklist_run.state import SessionState

    desk.say("on").say("off")
    desk.feed(ev.Interrupted(desk.stamp(), "keyboard"))
    assert isinstance(desk.last[-1], e.Finish)
    desk.state = SessionState(desk.state.context, replay_list(desk.records))
    desk.feed(ev.ResumeAsked(desk.stamp())).settled()
    assert desk.spoken == "Continuing at Fuel pump. Last completed: Beacon, on. Fuel pump?"
    assert desk.say("on").asking == "altimeter"
    desk.check()
