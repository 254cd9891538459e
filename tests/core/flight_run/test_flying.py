"""A whole flight: called for list by list, nothing starts by itself, nothing is forgotten."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.running.flight_folder import load_folder, taken_over
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.flight_run import flying
from callout.core.flight_run import records as s
from callout.core.flight_run.calling import AGREED_WITHIN
from callout.core.flight_run.calls import desk_groups
from callout.core.flight_run.due import not_completed
from callout.core.flight_run.planning import list_context
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorContext, SectorState
from callout.core.flight_run.summary import SectorSummary
from callout.core.model.commands import plain_words
from callout.core.model.heard import Heard
from tests.core.flight_kit import FLIGHT, FlightDesk, flight, written
from tests.core.session_kit import BEGAN

POWER_UP = ("power-up checklist", "on", "passed")
BEFORE_START = ("before start checklist", "compared", "complete", "on")
TAXI = ("taxi checklist", "five", "117 knots")


def outcomes(desk: FlightDesk) -> dict[str, str]:
    assert desk.state.inner
    progress = desk.state.inner.progress
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return {p.id: i.outcome.value if i.outcome else "open" for p, i in pairs}


def test_a_flight_begins_with_what_is_due_and_starts_nothing() -> None:
    desk = FlightDesk().start()
    assert desk.spoken == (
        'Next: Power-up, at "entering the cockpit". '
        'Say "Power-up checklist" or "next" to begin it, or "help".'
    )
    assert desk.asking == "@desk"
    assert desk.state.inner is None
    desk.check()


def test_a_list_is_run_and_the_next_one_named_in_the_same_breath() -> None:
    desk = FlightDesk().start().type(*POWER_UP)
    assert desk.spoken == "Power-up complete. Next: Before start."
    assert desk.state.inner is None
    assert desk.state.progress.completed("power-up")
    desk.type("next checklist")
    assert desk.asking == "data"
    desk.check()


@pytest.mark.parametrize(
    "words",
    ["before start checklist", "Ready to start, please", "Before start", "2", "BEFORE-START"],
)
def test_a_list_is_called_by_trigger_name_or_number(words: str) -> None:
    desk = FlightDesk().start().type(*POWER_UP, words)
    assert desk.asking == "data"


def test_a_list_is_called_aloud_and_talk_between_lists_is_nobodys_business() -> None:
    desk = FlightDesk().start()
    before = desk.state
    for words, sure in (("nice weather", True), ("they power up now", False)):
        desk.say(words, sure=sure)
        assert replace(desk.state, moment=before.moment) == before
        assert desk.spoken == ""
    assert desk.say("power-up checklist").asking == "battery"
    desk.check()


@pytest.mark.parametrize("aloud", [True, False])
def test_a_list_that_is_not_in_the_flight_is_told_and_a_similar_one_asked(aloud: bool) -> None:
    """Nothing is guessed: the nearest name is asked about, and only a yes begins its list."""
    desk = FlightDesk().start()
    call = desk.say if aloud else desk.type
    call("wobbly widget checklist")
    assert desk.spoken == 'No list is called "wobbly widget checklist".'
    assert desk.state.progress.question is None
    call("power upp checklist")
    assert "Do you mean Power-up? Yes or no?" in desk.spoken
    assert desk.state.inner is None
    call("no")
    assert desk.state.inner is None
    call("power upp checklist")
    call("yes")
    assert desk.asking == "battery"
    desk.check()


def test_a_call_that_was_not_heard_for_sure_is_asked_about_and_starts_nothing() -> None:
    desk = FlightDesk().start()
    heard = Heard("taxi checklist", "power of checklist", 0.3, False)
    desk.feed(ev.HeardReply(desk.stamp(), desk.asking, heard, desk.now))
    assert "Do you mean Power-up?" in desk.spoken, "what was written down counts, not the guess"
    assert desk.say("yes", sure=False).state.inner is None
    assert desk.say("yes").asking == "battery"


def test_a_list_is_called_for_by_its_title_also_where_it_has_other_words() -> None:
    """Every list is listened for by its title and "checklist"."""
    groups = desk_groups(FlightDesk().state.context)
    heard = {plain_words(form) for group in groups for form in group}
    for title in ("before start", "taxi", "power up", "engine fire on the ground"):
        assert (*title.split(), "checklist") in heard


def test_called_out_of_order_it_warns_and_asks() -> None:
    desk = FlightDesk().start().type("taxi checklist")
    warning = "Not completed: Power-up and Before start. Run Taxi anyway? Yes or no?"
    assert desk.spoken == warning
    assert desk.type("perhaps").spoken == warning
    assert desk.type("no").spoken == 'Next: Power-up, at "entering the cockpit".'
    desk.type("taxi checklist", "yes")
    assert desk.asking == "flaps"
    own, _ = desk.journals()
    called = [record for record in own if isinstance(record, s.ListCalled)]
    assert [record.warned for record in called] == [("Power-up", "Before start")]
    desk.check()


def test_a_list_passed_over_is_named_until_it_is_completed() -> None:
    desk = FlightDesk().start().type(*POWER_UP, "taxi checklist", "yes", "five")
    desk.type("skip, not fitted")
    assert desk.spoken.endswith("No list comes after this one. Not completed: Before start.")
    desk.type(*BEFORE_START[:-1])
    assert desk.type(BEFORE_START[-1]).spoken.endswith("All lists are complete.")


def test_a_stopped_list_stays_due_and_says_so() -> None:
    desk = FlightDesk().start().type("power-up checklist", "on", "stop", "yes")
    assert desk.spoken == (
        'Stopped. Power-up is not complete: 1 item not done. Next: Power-up, at "entering the '
        'cockpit".'
    )
    assert desk.type("power-up checklist").asking == "battery"


def test_a_completed_list_is_run_again_only_when_confirmed() -> None:
    desk = FlightDesk().start().type(*POWER_UP, "power-up checklist")
    assert desk.spoken == "Power-up is already complete. Run it again? Yes or no?"
    assert desk.type("yes").asking == "battery"


def test_a_moment_called_out_makes_a_list_due_and_names_what_was_missed() -> None:
    desk = FlightDesk().start().type("taxiing")
    assert desk.spoken == (
        'Taxiing: Taxi due. Say "Taxi checklist". Not completed: Power-up and Before start.'
    )
    assert desk.asking == "@desk"
    desk.type(*POWER_UP, *BEFORE_START)
    assert desk.spoken.endswith("Next: Taxi.")  # its moment has been called out
    desk.type(*TAXI, "brakes released")
    assert desk.spoken == "Brakes released: Taxi already complete."


def test_a_list_whose_condition_is_not_met_is_not_due_until_the_set_up_changes() -> None:
    desk = FlightDesk().start()
    due = [c.id for c in not_completed(desk.state.context, desk.state.progress)]
    assert due == ["power-up", "before-start", "taxi"]
    assert desk.type("icing yes").spoken == "Icing: yes. Now due: Anti-ice."
    desk.type(*POWER_UP, *BEFORE_START)
    assert desk.spoken.endswith("Next: Anti-ice.")


def test_a_drill_may_be_called_at_any_item_and_the_list_is_taken_up_where_it_was() -> None:
    desk = FlightDesk().start().type("power-up checklist", "on")
    desk.say("engine fire drill")
    assert desk.asking == "levers"
    desk.type("cutoff")
    assert desk.spoken.endswith("Power-up is paused. Say its name to resume it.")
    assert "Next:" not in desk.spoken
    desk.type("power-up checklist")
    assert desk.asking == "fire-test"
    assert "Last completed: Battery, on." in desk.spoken
    desk.type("passed")
    assert desk.state.progress.completed("power-up")
    desk.check()


@pytest.mark.parametrize("words", ["next", "yes", "next list", "begin", "affirm", "Go ahead."])
def test_everyday_words_begin_the_list_that_is_due(words: str) -> None:
    assert FlightDesk().start().type(words).asking == "battery"
    assert FlightDesk().start().say(words).asking == "battery"


def test_a_yes_to_ones_neighbour_begins_nothing() -> None:
    """Only right after the tool has named the list is a spoken "yes" meant for it."""
    desk = FlightDesk().start()
    desk.now += AGREED_WITHIN + 1
    assert desk.say("yes").asking == "@desk"
    assert desk.say("next").asking == "battery"


def test_no_to_a_list_out_of_order_goes_back_to_the_list_one_was_in() -> None:
    desk = FlightDesk().start().type("power-up checklist", "on")
    desk.type("taxi checklist")
    assert desk.spoken.endswith("Run Taxi anyway? Yes or no?")
    desk.type("no")
    assert desk.asking == "fire-test"
    assert "Last completed: Battery, on." in desk.spoken
    desk.check()
    desk.type("passed")
    assert desk.state.progress.completed("power-up")
    assert desk.type("taxi checklist", "no").asking == "@desk", "no list was left for it"


def test_continue_between_lists_goes_on_with_the_list_set_aside() -> None:
    desk = FlightDesk().start().type("power-up checklist", "on", "engine fire drill", "cutoff")
    assert desk.type("continue").asking == "fire-test"
    desk.check()


def test_a_line_typed_while_one_list_gives_way_to_another_is_told_never_lost() -> None:
    desk = FlightDesk().start().type("power-up checklist", "on")
    typed = ev.TypedReply(desk.stamp(), "fire-test", "passed")
    desk.last = []
    desk._step(ev.TypedReply(desk.stamp(), "fire-test", "engine fire drill"))
    assert flying.step_is_due(desk.state)
    desk.feed(typed)
    assert desk.asking == "levers"
    assert 'The question changed while you typed "passed". Type it again.' in desk.news
    assert desk.state.inner
    assert "passed" in desk.state.inner.moment.sentence


def test_words_that_answer_an_item_never_call_a_list() -> None:
    desk = FlightDesk(flight(FLIGHT)).start().type(*POWER_UP, "before start checklist")
    desk.type("on")
    assert desk.asking == "data"  # a wrong reply, not a call
    assert not desk.state.wanted


def test_the_end_of_the_flight_is_confirmed_and_names_what_was_not_completed() -> None:
    desk = FlightDesk().start().type(*POWER_UP, "end of flight")
    assert desk.spoken == "End the flight? Not completed: Before start and Taxi. Yes or no?"
    desk.type("no", "end the flight", "yes")
    assert desk.spoken == "Flight ended. Not completed: Before start and Taxi."
    (finish,) = (x for x in desk.last if isinstance(x, e.Finish))
    assert isinstance(finish.summary, SectorSummary)
    assert finish.summary.not_completed == ("Before start", "Taxi")
    desk.check()


def test_what_one_list_makes_known_is_missing_in_the_next_until_it_has() -> None:
    early = FlightDesk().start().type("taxi checklist", "yes", "five")
    assert "Not known yet: decision speed (from Take-off data in Before start)." in early.spoken
    early.type("117 knots")
    assert early.asking == "speed"
    in_order = FlightDesk().start().type(*POWER_UP, *BEFORE_START, *TAXI)
    assert in_order.state.progress.completed("taxi")


def test_an_item_done_today_is_dropped_and_listed() -> None:
    done = {"power-up": {"fire-test": "done today at 06:40"}}
    desk = FlightDesk(done=done).start().type("power-up checklist")
    assert "Fire test: done today at 06:40." in desk.news
    assert desk.type("on").state.progress.completed("power-up")


def test_an_item_done_in_this_flight_is_not_asked_twice() -> None:
    desk = FlightDesk().start().type(*POWER_UP, "power-up checklist", "yes")
    assert any(line.startswith("Fire test: done in this flight at 06:0") for line in desk.news)


def test_taking_over_says_what_was_stated_and_that_nothing_counts() -> None:
    desk = FlightDesk(received="powered, fuelled").start()
    assert desk.spoken.startswith(
        "Aircraft taken over: powered, fuelled. Nothing the previous crew did counts."
    )


@pytest.mark.parametrize(
    ("condition", "first", "not_due"),
    [
        ("powered, fuelled", "Taking over", "Power-up"),
        ("fuelled and aircraft powered", "Taking over", "Power-up"),
        ("not powered, no turnaround", "Power-up", "Taking over"),
        ("powered, not powered", "Power-up", ""),
        ("cold and dark", "Power-up", ""),
    ],
)
def test_what_was_stated_at_the_take_over_settles_which_lists_are_due(
    condition: str, first: str, not_due: str
) -> None:
    folder = load_folder(shipped_folder(CHECKLISTS) / "halvern-seventy")
    desk = FlightDesk()
    session = desk.state.context.session
    data = taken_over(folder.flight, condition, session.commands.fillers)
    assert data.set_up["night"].state is None  # not stated: it is asked
    desk.state = SectorState(SectorContext(session, folder.lists, data, 1, {}))
    desk.start()
    assert f"Next: {first}" in desk.spoken
    due = [c.title for c in not_completed(desk.state.context, desk.state.progress)]
    assert due[0] == first
    assert not_due not in due


def test_beginning_later_leaves_the_lists_before_out() -> None:
    desk = FlightDesk(first="taxi").start()
    assert desk.spoken.startswith('Next: Taxi, at "taxiing". Say "Taxi checklist" or "next"')
    desk.type("taxi checklist")
    assert desk.asking == "flaps"  # no warning: those before belong to nobody here


def test_quiet_and_pace_go_on_into_the_lists() -> None:
    desk = FlightDesk().start().type("slower", "quiet", "power-up checklist")
    assert desk.state.inner
    assert (desk.state.inner.progress.quiet, desk.state.inner.progress.pace) == (True, 0.8)
    assert desk.spoken == ""
    desk.type("read aloud", "on", "passed")
    assert not desk.state.progress.quiet


def test_trouble_reported_in_between_is_shown_in_the_list() -> None:
    desk = FlightDesk().start()
    desk.feed(ev.AdapterFailed(desk.stamp(), "hearing", "The microphone is gone."))
    desk.type("power-up checklist")
    assert desk.state.inner
    assert desk.state.inner.moment.troubles[0][0] == "hearing"
    desk.feed(ev.AdapterRecovered(desk.stamp(), "hearing"))
    assert desk.type("on", "passed").state.moment.troubles == ()


def resumed(desk: FlightDesk) -> FlightDesk:
    """Return a new program's desk, with nothing but the journals."""
    own, lists = desk.journals()
    again = FlightDesk(desk.data, desk.done)
    progress = replay_sector(own)
    state = SectorState(again.state.context, progress)
    aside = {}
    inner = None
    for run in progress.runs:
        records = lists.get(run.session_id, [])
        if run.ending or not records:
            continue
        checklist = state.context.checklist(run.list_id)
        assert checklist
        found = SessionState(list_context(state, checklist, run), replay_list(records))
        if run.aside:
            aside[run.session_id] = found
        else:
            inner = found
    again.state = replace(state, inner=inner, aside=aside)
    again.now = desk.now
    return again.feed(ev.ResumeAsked(again.stamp()))


WORDS = (
    "power-up checklist", "before start checklist", "taxi checklist", "next checklist", "yes", "no",
    "on", "passed", "compared", "complete", "five", "117 knots", "skip, broken", "defer", "stop",
    "engine fire drill", "cutoff", "taxiing", "fuelling complete", "icing yes", "hold", "continue",
    "what is due", "end of flight", "go back", "leave them open", "take them now", "help", "3",
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(WORDS), max_size=25))
def test_whatever_is_said_the_journals_hold_all_of_it(words: list[str]) -> None:
    desk = FlightDesk().start()
    for said in words:
        desk.type(said)
        desk.check()
        if desk.over:
            return
    again = resumed(desk)
    assert again.state.progress.runs == desk.state.progress.runs
    assert again.asking == desk.asking
    if again.state.inner and desk.state.inner:
        pairs = zip(again.state.inner.progress.items, desk.state.inner.progress.items, strict=True)
        for now, before in pairs:
            assert replace(now, asked=before.asked) == before


def test_a_kill_between_call_and_begin_loses_nothing() -> None:
    desk = FlightDesk().start()
    event = ev.TypedReply(desk.stamp(), "@desk", "power-up checklist")
    desk._step(event)  # called for, not begun: the program dies here
    again = resumed(desk)
    assert again.asking == "battery"
    assert [run.ending for run in again.state.progress.runs] == [None]


def test_a_kill_between_a_lists_end_and_the_flights_word_of_it_loses_nothing() -> None:
    desk = FlightDesk().start().type("power-up checklist", "on")
    desk._step(ev.TypedReply(desk.stamp(), "fire-test", "passed"))
    assert desk.state.progress.open_run
    again = resumed(desk)
    assert again.state.progress.completed("power-up")
    assert again.asking == "@desk"


def test_broken_off_inside_a_list_ends_the_flight_resumably() -> None:
    desk = FlightDesk().start().type("power-up checklist", "on")
    desk.feed(ev.Interrupted(desk.stamp(), "keyboard"))
    assert isinstance(desk.last[-1], e.Finish)
    assert desk.over
    again = resumed(desk)
    assert again.asking == "fire-test"
    assert "Continuing at Fire test. Last completed: Battery, on." in again.spoken


def test_set_up_stated_in_a_list_holds_for_the_rest_of_the_flight() -> None:
    desk = FlightDesk().start().type(*POWER_UP, "before start checklist", "fuelling complete")
    assert outcomes(desk)["refuelling"] == ItemOutcome.NOT_APPLICABLE.value
    desk.type("compared", "on")
    assert desk.state.progress.facts == {"fuelling": False}
    run = desk.state.progress.last_run("before-start")
    assert run
    assert run.ending is Ending.COMPLETED
    assert run.ended
    assert run.ended > BEGAN


FLOW_LIST = """
callout: 1
id: cockpit
title: Cockpit preparation
phase: power-up
method: flow-then-verify
trigger: cockpit preparation checklist
complete: cockpit preparation complete
flow:
  - {panel: Overhead, do: [{control: Battery, position: "on"}]}
  - {panel: Before start, do: [{control: Lever, position: up}]}
items:
  - {id: beacon, challenge: Beacon, response: "on"}
"""


@pytest.mark.parametrize("call", ["power-up checklist", "engine fire drill"])
def test_another_list_can_be_called_for_at_the_question_of_a_flow(call: str) -> None:
    desk = FlightDesk()
    context = desk.state.context
    lists = (written(FLOW_LIST), *context.lists)
    desk.state = replace(desk.state, context=replace(context, lists=lists))
    desk.start().type("cockpit preparation checklist")
    flow = desk.asking
    assert flow.startswith("@")
    desk.type(call)
    assert desk.asking in ("battery", "levers")
    desk.type("stop", "yes", "cockpit preparation checklist", "yes")
    assert desk.asking == flow, "the flow goes on where it was"
    desk.type("before start")
    assert desk.asking == flow, "a panel of that name is named, no list called"
    desk.check()
