"""The session from the first challenge to the completion call."""

from __future__ import annotations

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import CompletionBy, FlowMode, Pacing
from callout.core.conversation.view_model import Doing, Status
from callout.core.model.checklist import Role
from callout.core.model.verdict import Verdict
from tests.core.session_kit import Desk, flow_list, plan, two_seats


@pytest.fixture
def desk() -> Desk:
    return Desk().start()


def answer_all(desk: Desk) -> Desk:
    for reply in ("on", "on", "one zero one three", "closed and locked"):
        desk.say(reply)
    return desk


def replies(desk: Desk) -> list[r.Replied]:
    return [record for record in desk.records if isinstance(record, r.Replied)]


def test_right_replies_lead_to_the_completion_call(desk: Desk) -> None:
    answer_all(desk)
    assert desk.outcomes() == {
        "beacon": "answered",
        "pump": "answered",
        "altimeter": "answered",
        "anti-ice": "not-applicable",
        "doors": "answered",
    }
    assert desk.spoken == "Before start checklist complete."
    ended = desk.records[-1]
    assert isinstance(ended, r.Ended)
    assert ended.ending is Ending.COMPLETED
    assert ended.open_items == ()
    assert isinstance(desk.last[-1], e.Finish)
    assert desk.last[-1].summary.first_time == 4
    desk.check()


def test_records_come_before_every_other_effect(desk: Desk) -> None:
    desk.say("off").say("on").type("skip, inoperative").say("what is left")
    state = desk.state
    for kind in (desk.last,):
        names = [type(effect).__name__ for effect in kind]
        assert names == sorted(names, key=lambda name: name != "Record")
    assert state.progress.seq == len(desk.records)


def test_a_mismatch_names_what_was_heard_and_asks_again(desk: Desk) -> None:
    desk.say("off")
    assert "off" in desk.spoken.casefold()
    assert desk.spoken.endswith("Beacon?")
    assert desk.asking == "beacon"
    reply = next(x for x in desk.records if isinstance(x, r.Replied))
    assert reply.verdict is Verdict.MISMATCH
    assert reply.utterance.transcript == "off"
    assert desk.say("on").asking == "pump"


def test_a_wrong_pressure_setting_is_a_mismatch(desk: Desk) -> None:
    desk.say("on").say("on").say("one zero three one")
    assert desk.asking == "altimeter"
    assert replies(desk)[-1].verdict is Verdict.MISMATCH


def test_an_unsure_right_reply_is_never_accepted(desk: Desk) -> None:
    for _ in range(8):
        desk.say("on", sure=False)
        assert desk.asking == "beacon"
    assert desk.outcomes()["beacon"] == "open"
    assert desk.state.progress.items[0].unclear == 8


def test_an_unsure_command_is_not_obeyed(desk: Desk) -> None:
    desk.say("skip", sure=False).say("stop", sure=False)
    assert desk.asking == "beacon"
    assert not any(isinstance(x, r.Commanded) for x in desk.records)


def test_a_side_remark_is_kept_but_neither_counted_nor_answered(desk: Desk) -> None:
    desk.say("what a lovely morning over the hills today", sure=False)
    assert desk.spoken == ""
    assert isinstance(desk.records[-1], r.Remarked)
    beacon = desk.state.progress.items[0]
    assert (beacon.remarks, beacon.unclear, beacon.asked) == (1, 0, 1)
    assert desk.asking == "beacon"


def test_twice_unclear_offers_another_way_to_reply(desk: Desk) -> None:
    desk.say("on", sure=False)
    assert not desk.state.moment.options
    desk.say("on", sure=False)
    assert desk.state.moment.options == ("off", "on")
    assert desk.spoken.startswith('Still not understood. Try "beacon on", or type its number.')
    desk.type("1")
    assert desk.asking == "beacon", "the wrong choice is as wrong as the wrong word"
    desk.say("on", sure=False).say("on", sure=False).type("2")
    assert desk.asking == "pump"
    assert desk.state.progress.items[0].heard == "on"


def test_twice_unclear_at_a_value_asks_for_its_digits(desk: Desk) -> None:
    desk.say("on").say("on").say("ten", sure=False).say("ten", sure=False)
    assert 'Try "one zero one three", or type it.' in desk.spoken
    assert desk.state.moment.options == ()


def test_after_several_unclear_sounds_the_voice_stays_calm(desk: Desk) -> None:
    for _ in range(3):
        desk.say("", sure=False)
    assert 'Or say "later", "skip" with a reason, or "help".' in desk.spoken, "a way out is told"
    desk.say("", sure=False)
    assert desk.spoken == ""
    assert desk.asking == "beacon"


def test_a_late_reply_to_an_earlier_item_is_ignored(desk: Desk) -> None:
    desk.say("on")
    before = desk.state
    desk.say("on", target="beacon")
    assert desk.state.progress == before.progress
    assert desk.last == ()


def test_a_line_begun_for_an_earlier_item_is_told_and_not_taken(desk: Desk) -> None:
    desk.say("on")
    desk.feed(ev.TypedReply(desk.stamp(), "beacon", "on"))
    assert desk.asking == "pump"
    assert desk.outcomes()["pump"] == "open"
    assert "Type it again" in desk.state.moment.sentence


def test_an_accepted_reply_wins_over_a_command_of_the_same_words() -> None:
    from tests.core.session_kit import item

    desk = Desk(plan(items=(item("brake", "Brake", "hold"), item("x", "Beacon", "on")))).start()
    desk.say("hold")
    assert not desk.state.progress.held
    assert desk.asking == "x"
    assert desk.say("hold").state.progress.held


def test_a_reply_sooner_than_a_glance_is_accepted_but_marked(desk: Desk) -> None:
    desk.say("on", after=0.3)
    assert desk.asking == "pump"
    assert desk.state.progress.items[0].fast
    desk.say("on", after=1.5)
    assert not desk.state.progress.items[1].fast
    desk.say("one zero one three", after=30)
    assert desk.state.progress.items[2].slow


def test_reply_time_runs_from_the_end_of_the_challenge_to_the_start_of_the_reply(
    desk: Desk,
) -> None:
    desk.say("on", after=1.25)
    # the tool's own rest after speaking counts: the person was free to answer
    assert desk.state.progress.items[0].seconds == pytest.approx(1.25 + desk.pacing.tail_s)


def test_a_repeat_after_silence_does_not_start_the_clock_of_the_reply_again(desk: Desk) -> None:
    first = desk.state.moment.timed_from
    assert first is not None
    assert desk.wait().spoken == "Beacon?"
    desk.say("on", after=first + 17.2 - desk.now)
    beacon = desk.state.progress.items[0]
    assert beacon.seconds == pytest.approx(17.2)
    assert beacon.slow


@pytest.mark.parametrize("asks", ["silence", "say again", "help"])
def test_a_reply_right_after_a_repeat_is_not_faster_than_a_glance(desk: Desk, asks: str) -> None:
    first = desk.state.moment.timed_from
    assert first is not None
    if asks == "silence":
        desk.wait()
    else:
        desk.say(asks, after=6.0)
    began = desk.now + 0.1
    desk.say("on", after=0.1)
    beacon = desk.state.progress.items[0]
    assert beacon.seconds == pytest.approx(began - first)
    assert not beacon.fast
    desk.say("on", after=0.3)
    assert desk.state.progress.items[1].fast  # a new item has a clock of its own


def test_a_reply_typed_while_the_repeat_is_spoken_counts_from_the_challenge(desk: Desk) -> None:
    first = desk.state.moment.timed_from
    assert first is not None
    from callout.core.checklist_run.session import list_deadline

    desk.now = list_deadline(desk.state) or 0.0
    desk.feed(ev.Ticked(desk.stamp()))
    assert desk.state.moment.speaking
    desk.now = first + 8.9
    desk.feed(ev.TypedReply(desk.stamp(), desk.asking, "on"))
    beacon = desk.state.progress.items[0]
    assert beacon.seconds == pytest.approx(8.9)
    assert not beacon.fast


@pytest.mark.parametrize("between", [("hold", "continue"), ("off",), ("mumble",)])
def test_a_reply_refused_or_a_hold_starts_the_clock_anew(
    desk: Desk, between: tuple[str, ...]
) -> None:
    for words in between:
        desk.say(words, after=5.0)
    desk.say("on", after=1.5)
    assert desk.state.progress.items[0].seconds == pytest.approx(1.5 + desk.pacing.tail_s)


def test_silence_gets_one_gentle_repeat_and_then_patience(desk: Desk) -> None:
    desk.wait()
    assert desk.spoken == "Beacon?"
    from callout.core.checklist_run.session import list_deadline

    assert list_deadline(desk.state) is None
    assert desk.say("on").asking == "pump"


def test_it_listens_only_after_its_own_voice_and_a_rest() -> None:
    desk = Desk()
    desk.feed(ev.Started(desk.stamp(), "s1", desk.plan))
    assert not any(isinstance(x, e.Listen) for x in desk.last)
    desk.now += 2
    desk.feed(ev.SpeechFinished(desk.stamp(), desk.state.moment.token))
    assert not any(isinstance(x, e.Listen) for x in desk.last)
    desk.now += desk.pacing.tail_s
    desk.feed(ev.Ticked(desk.stamp()))
    (listen,) = (x for x in desk.last if isinstance(x, e.Listen))
    assert listen.item_id == listen.candidates.item_id == "beacon"
    assert "say again" in [c.text for c in listen.candidates.candidates]


def test_with_a_headset_it_listens_while_it_speaks() -> None:
    desk = Desk(pacing=Pacing(barge_in=True))
    desk.feed(ev.Started(desk.stamp(), "s1", desk.plan))
    assert any(isinstance(x, e.Listen) for x in desk.last)
    assert desk.state.moment.speaking


def test_a_typed_reply_cuts_the_voice() -> None:
    desk = Desk()
    desk.feed(ev.Started(desk.stamp(), "s1", desk.plan))
    stale = desk.state.moment.token
    desk.now += 1
    desk.feed(ev.TypedReply(desk.stamp(), "beacon", "on"))
    assert desk.asking == "pump"
    before = desk.state
    desk.feed(ev.SpeechFinished(desk.stamp(), stale))
    assert desk.state == before


def test_cautions_are_said_before_their_item(desk: Desk) -> None:
    desk.say("on")
    assert desk.spoken == "Caution: Not above 5 minutes. Fuel pump?"


def test_the_person_gives_the_completion_call_where_set() -> None:
    desk = Desk(pacing=Pacing(completion_by=CompletionBy.PERSON)).start()
    answer_all(desk)
    assert desk.asking == "@completion"
    assert not desk.state.progress.ending
    desk.say("on")
    assert desk.asking == "@completion"
    desk.say("before start checklist complete", sure=False)
    assert desk.asking == "@completion"
    desk.say("before start checklist complete")
    assert desk.state.progress.ending is Ending.COMPLETED


def test_a_flow_is_done_before_it_is_verified() -> None:
    desk = Desk(flow_list()).start()
    assert desk.asking == "@flow"
    desk.say("done")
    assert desk.asking == "beacon"


def test_a_flow_can_be_prompted_panel_by_panel() -> None:
    desk = Desk(flow_list(), pacing=Pacing(flow=FlowMode.PROMPT)).start()
    said = next(x.text for x in desk.effects if isinstance(x, e.Say))
    assert said == 'Overhead. Not in the usual position: Beacon on. Say "done" for the next panel.'
    desk.key("enter")
    assert desk.spoken.startswith("Pedestal.")
    desk.say("next panel")
    assert desk.asking == "beacon"
    assert [x.panel for x in desk.records if isinstance(x, r.PanelDone)] == ["Overhead", "Pedestal"]


def test_both_seats_answer_and_the_wrong_seat_is_refused() -> None:
    desk = Desk(two_seats()).start()
    desk.say("five", seat=Role.PILOT_MONITORING)
    assert desk.asking == "flaps"
    assert replies(desk)[-1].code == "wrong-seat"
    desk.say("five", seat=Role.PILOT_FLYING)
    assert desk.asking == "belts"
    desk.say("fastened")
    assert desk.asking == "belts"
    desk.say("fastened")
    assert desk.state.progress.ending is Ending.COMPLETED


def test_a_wrong_reply_between_the_two_seats_starts_again() -> None:
    desk = Desk(two_seats()).start().say("five").say("fastened")
    desk.say("unfastened").say("fastened")
    assert desk.outcomes()["belts"] == "open"
    assert desk.say("fastened").outcomes()["belts"] == "answered"


def test_an_item_whose_value_is_not_known_says_where_it_comes_from() -> None:
    from tests.core.session_kit import item

    speed = item("v1", "Decision speed", missing=("decision speed (from the performance set-up)",))
    desk = Desk(plan(items=(speed,))).start()
    desk.say("one two zero")
    assert "performance set-up" in desk.spoken
    assert desk.outcomes() == {"v1": "open"}
    assert desk.say("come back to that").asking == "v1"


def test_a_failing_ear_is_told_once_and_the_keyboard_goes_on(desk: Desk) -> None:
    desk.feed(ev.AdapterFailed(desk.stamp(), "hearing", "The microphone is gone.", "Plug it in."))
    view = next(x.view for x in desk.last if isinstance(x, e.Show))
    assert [t.message for t in view.troubles] == ["The microphone is gone. Plug it in."]
    assert desk.type("on").asking == "pump"


def test_a_journal_written_again_is_said_aloud_and_the_item_is_still_asked(desk: Desk) -> None:
    desk.feed(ev.AdapterFailed(desk.stamp(), "journal", "The journal x.jsonl was removed."))
    assert desk.spoken.endswith("It has been written again in full; nothing is lost.")
    assert desk.settled().say("on").asking == "pump"


def test_changed_set_up_asks_what_now_applies(desk: Desk) -> None:
    from dataclasses import replace

    answer_all_but_last = ("on", "on", "one zero one three")
    for reply in answer_all_but_last:
        desk.say(reply)
    items = tuple(replace(i, applicable=i.id != "doors") for i in desk.plan.items)
    desk.feed(ev.FlightChanged(desk.stamp(), plan(items=items), "icing")).settled()
    assert desk.outcomes()["doors"] == "not-applicable"
    assert desk.asking == "anti-ice"
    desk.say("on")
    assert desk.state.progress.ending is Ending.COMPLETED
    desk.check()


def test_the_screen_tells_done_current_and_pending_apart(desk: Desk) -> None:
    desk.say("on")
    view = next(x.view for x in desk.last if isinstance(x, e.Show))
    assert [row.status for row in view.rows] == [
        Status.ANSWERED,
        Status.CURRENT,
        Status.PENDING,
        Status.NOT_APPLICABLE,
        Status.PENDING,
    ]
    assert (view.done, view.total) == (1, 4)
    assert view.heard == "on"
    assert view.verdict is Verdict.MATCH
    assert view.doing is Doing.SPEAKING
