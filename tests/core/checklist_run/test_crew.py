"""Two people: one challenges, the other responds, and the tool checks both."""

from __future__ import annotations

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending, Why
from callout.core.checklist_run.state import Context, SessionState
from callout.core.checklist_run.summary import summarise_list
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Challenger, Pacing, seat_of
from callout.core.model.checklist import Role
from callout.core.understanding.candidate_sets import candidates_for
from tests.core.session_kit import Desk, item, plan

CREW = Pacing(challenger=Challenger.PERSON)


def crew(**facts: object) -> Desk:
    return Desk(plan(**facts) if facts else plan(), pacing=CREW).start()


def called(desk: Desk) -> list[tuple[str, tuple[str, ...]]]:
    found = [x for x in desk.records if isinstance(x, r.Challenged) and x.why is Why.CALLED]
    return [(x.item_id, x.passed_over) for x in found]


def test_the_tool_says_nothing_while_both_do_it_right() -> None:
    desk = crew()
    assert desk.asking == "@challenge"
    before = len([x for x in desk.effects if isinstance(x, e.Say)])
    for words in ("beacon", "on", "fuel pump", "on", "altimeter", "one zero one three", "doors"):
        desk.say(words)
    said = [x.text for x in desk.effects if isinstance(x, e.Say)][before:]
    assert said == ["Caution: Not above 5 minutes."]  # the fuel pump's own
    desk.say("closed and locked")
    assert desk.spoken == "All items are done. Your completion call?"
    desk.say("before start checklist complete")
    assert desk.state.progress.ending is Ending.COMPLETED
    assert set(desk.outcomes().values()) == {"answered", "not-applicable"}
    desk.check()


@pytest.mark.parametrize("words", ["Beacon?", "the beacon please", "er, beacon"])
def test_a_challenge_is_matched_word_by_word(words: str) -> None:
    desk = crew().say(words)
    expected = "@challenge" if words.startswith("the") else "beacon"
    assert desk.asking == expected


def test_challenge_and_reply_may_come_in_one_breath_and_both_are_judged() -> None:
    desk = crew().say("beacon on")
    assert desk.outcomes()["beacon"] == "answered"
    desk.say("fuel pump off")
    assert desk.outcomes()["pump"] == "open"
    assert desk.asking == "pump"
    assert desk.spoken.endswith("Fuel pump?")
    assert desk.state.progress.items[1].mismatches == 1
    desk.say("on").say("altimeter 1031")
    assert desk.asking == "altimeter"
    assert desk.state.progress.items[2].mismatches == 1
    desk.check()


def test_a_wrong_reply_is_named_and_challenged_again_by_the_tool() -> None:
    desk = crew().say("beacon").say("off")
    assert desk.asking == "beacon"
    assert desk.spoken.endswith("Beacon?")
    assert desk.say("on").asking == "@challenge"


def test_a_challenge_before_its_turn_names_what_it_passes_over() -> None:
    desk = crew().say("altimeter")
    assert desk.spoken == "Not challenged yet: Beacon and Fuel pump."
    assert desk.asking == "altimeter"
    desk.say("one zero one three")
    assert desk.asking == "@challenge"
    assert called(desk) == [("altimeter", ("beacon", "pump"))]
    assert summarise_list(desk.state.progress).passed_over == 1
    desk.check()


def test_a_challenge_without_its_reply_is_named() -> None:
    desk = crew().say("beacon").say("fuel pump")
    assert "Beacon was not answered." in desk.spoken
    assert desk.asking == "pump"
    desk.say("on").say("beacon").say("on")
    assert desk.outcomes()["beacon"] == "answered"


def test_the_same_challenge_again_is_only_a_repeat() -> None:
    desk = crew().say("beacon").say("beacon")
    assert desk.asking == "beacon"
    assert desk.spoken == ""
    assert desk.state.progress.items[0].mismatches == 0


def test_nobody_completes_a_list_with_open_items() -> None:
    desk = crew().say("beacon on").say("before start checklist complete")
    assert desk.state.progress.ending is None
    assert desk.spoken == "Not complete. Still open: Fuel pump, Altimeter and Doors."
    assert desk.asking == "@challenge"
    desk.check()


@pytest.mark.parametrize(
    "words", ["nice weather", "fuel", "pump", "on", "beacons fuel", "not beacon"]
)
def test_other_talk_challenges_nothing(words: str) -> None:
    desk = crew().say(words)
    assert desk.asking == "@challenge"
    assert not called(desk)
    assert desk.spoken == ""
    desk.check()


def test_an_unsure_challenge_is_not_taken() -> None:
    assert crew().say("beacon", sure=False).asking == "@challenge"


def test_controls_work_while_a_challenge_is_waited_for() -> None:
    desk = crew().say("what is left")
    assert desk.spoken.startswith("4 items left: Beacon")
    assert desk.say("hold").asking == "@hold"
    assert desk.say("continue").asking == "@challenge"
    desk.say("beacon").say("skip, inoperative")
    assert desk.outcomes()["beacon"] == "skipped"
    desk.say("fuel pump").say("come back to that")
    desk.say("altimeter").say("one zero one three").say("doors").say("closed and locked")
    assert desk.asking == "pump"  # the tool brings a deferred item back itself
    assert desk.spoken == "Now the deferred items. Caution: Not above 5 minutes. Fuel pump?"
    desk.say("on")
    assert desk.asking == "@completion"
    desk.check()


def test_both_seats_answer_an_item_for_both() -> None:
    both = item("belts", "Belts", "fastened", role=Role.BOTH, replies=2)
    desk = crew(items=(both,)).say("belts").say("fastened")
    assert desk.asking == "belts"
    assert desk.say("fastened").outcomes()["belts"] == "answered"


def test_the_pilot_flying_sits_where_it_is_set() -> None:
    """Either seat may fly; the other monitors (FAA AC 120-71B: pilot flying, pilot monitoring)."""
    assert seat_of(Role.PILOT_FLYING, Role.RIGHT_SEAT) is Role.RIGHT_SEAT
    assert seat_of(Role.PILOT_MONITORING, Role.RIGHT_SEAT) is Role.LEFT_SEAT
    assert seat_of(Role.BOTH, Role.LEFT_SEAT) is Role.BOTH
    flaps = item("flaps", "Flaps", "five", role=Role.PILOT_FLYING)
    desk = Desk(plan(items=(flaps,)), pacing=Pacing(flying=Role.RIGHT_SEAT)).start()
    desk.say("five", seat=Role.LEFT_SEAT)
    assert desk.outcomes()["flaps"] == "open"
    desk.say("five", seat=Role.RIGHT_SEAT)
    assert desk.outcomes()["flaps"] == "answered"


def test_who_challenges_is_kept_for_a_resume() -> None:
    desk = crew().say("beacon on")
    again = Desk(plan())  # whatever is set by then
    again.effects = list(desk.effects)
    again.state = SessionState(again.state.context, desk.state.progress)
    again.feed(ev.ResumeAsked(again.stamp())).settled()
    assert again.asking == "@challenge"
    assert again.spoken == "Continuing between items. Last completed: Beacon, on."
    again.say("fuel pump on")
    assert again.outcomes()["pump"] == "answered"
    again.check()


def test_the_wrong_reply_is_listened_for_in_one_breath_as_well() -> None:
    """What is not listened for could only be taken for its opposite."""
    desk = crew()
    base = desk.state.context
    context = Context(base.commands, base.tables, base.pacing, candidates_for, True, "test")
    desk.state = SessionState(context, desk.state.progress, desk.state.moment)
    desk.say("nice weather").say("beacon").say("say again").say("on")
    listen = [x for x in desk.effects if isinstance(x, e.Listen)][-1]
    texts = {c.text.casefold() for c in listen.candidates.candidates}
    assert {"fuel pump", "fuel pump on", "fuel pump off", "doors"} <= texts


def test_a_quick_reply_to_a_person_is_not_marked_as_too_fast() -> None:
    desk = crew().say("beacon").say("on", after=0.1)
    assert not desk.state.progress.items[0].fast
