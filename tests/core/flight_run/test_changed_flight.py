"""A change of facts or figures is worked through in every list of a flight."""

from __future__ import annotations

import os
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.running.flight_folder import load_folder
from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Choice, Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.records import JournalRecord
from callout.core.flight_run import records as s
from callout.core.flight_run.due import in_flight_order
from callout.core.flight_run.facts import flight_now
from callout.core.flight_run.lapsing import complete_now
from callout.core.flight_run.planning import list_context
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorContext, SectorState
from callout.core.judging.judge import judge_reply
from callout.core.model.checklist import Checklist
from callout.core.model.verdict import Verdict
from callout.core.planning.run_plan import plan_for
from callout.core.planning.stated_quantity import Given
from tests.core.flight_kit import FlightDesk, flight, written

CHECKLISTS = Path(__file__).parents[3] / "checklists"
LISTS = (
    """
callout: 1
id: before-start
title: Before start
phase: before-start
method: challenge-and-response
complete: before start checklist complete
items:
  - {id: fuelling, challenge: Fuelling, response: caps on, critical: yes, when: fuelling}
  - {id: doors, challenge: Doors, response: closed, critical: yes}
  - {id: briefing, challenge: Passenger briefing, response: given, when: passengers}
  - {id: altimeters, challenge: Altimeters, response: "{qnh}"}
  - {id: beacon, challenge: Beacon, response: "on"}
""",
    """
callout: 1
id: taxi
title: Taxi
phase: taxi
method: challenge-and-response
follows: before-start
complete: taxi checklist complete
items:
  - {id: lights, challenge: Taxi light, response: "on", when: night}
  - {id: flaps, challenge: Flaps, response: "five"}
  - {id: crosscheck, challenge: Altimeter cross-check, response: "{qnh}", critical: yes}
""",
    """
callout: 1
id: climb
title: Climb
phase: climb
method: challenge-and-response
follows: taxi
complete: climb checklist complete
items:
  - {id: gear, challenge: Gear, response: up}
""",
    """
callout: 1
id: fire
title: Engine fire
phase: non-normal
method: read-and-do
trigger: engine fire drill
complete: drill complete
items:
  - {id: levers, challenge: Fuel levers, response: cutoff}
""",
)
FLIGHT = """
callout: 1
title: Practice flight
quantities:
  qnh: {value: 1018 hPa, kind: pressure, name: altimeter setting}
facts:
  fuelling: {is: "no", ask: "Is fuelling in progress?"}
  passengers: {is: "yes", ask: "Are there passengers?"}
  night: {is: "no", ask: "Is it night?"}
"""
BEFORE_START = ("before start checklist", "closed", "given", "1018", "on")


def fresh() -> FlightDesk:
    desk = FlightDesk(data=flight(FLIGHT))
    context = desk.state.context
    lists = in_flight_order(tuple(map(written, LISTS)))
    desk.state = SectorState(SectorContext(context.session, lists, context.flight, 1, {}))
    return desk


def outcomes(desk: FlightDesk) -> dict[str, str]:
    assert desk.state.inner
    progress = desk.state.inner.progress
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return {p.id: i.outcome.value if i.outcome else "open" for p, i in pairs}


def resumed(desk: FlightDesk) -> FlightDesk:
    """Return the flight as a new program finds it in its journals."""
    own, lists = desk.journals()
    again = fresh()
    progress = replay_sector(own)
    state = SectorState(again.state.context, progress)
    found: dict[str, SessionState] = {}
    for run in progress.runs:
        records = lists.get(run.session_id, [])
        checklist = state.context.checklist(run.list_id)
        if run.ending is None and records and checklist:
            found[run.session_id] = SessionState(
                list_context(state, checklist, run), replay_list(records)
            )
    aside = {run.session_id: found[run.session_id] for run in progress.runs if run.aside}
    inner = next((found[n] for n in found if n not in aside), None)
    again.state = SectorState(state.context, progress, inner=inner, aside=aside)
    again.now, again.effects = desk.now, list(desk.effects)
    return again.feed(ev.ResumeAsked(again.stamp()))


def test_a_list_set_aside_comes_back_under_the_facts_that_hold_then() -> None:
    desk = fresh().start().type("before start checklist")
    assert desk.asking == "doors"
    desk.type("engine fire drill", "cutoff", "fuelling yes", "passengers no")
    desk.type("before start checklist")
    assert "Since then: fuelling: yes, passengers: no." in desk.spoken
    assert "Now required: Fuelling." in desk.spoken
    assert outcomes(desk) == {
        "fuelling": "open",
        "doors": "open",
        "briefing": "not-applicable",
        "altimeters": "open",
        "beacon": "open",
    }
    desk.type("closed")
    assert desk.asking == "fuelling"
    desk.type("caps on")
    assert desk.asking == "altimeters"
    desk.check()


def test_the_shipped_twin_asks_its_fuelling_after_the_change() -> None:
    """The list is called for, then left for the line-up, and the set-up changes meanwhile."""
    folder = load_folder(CHECKLISTS / "sandling-two")
    desk = FlightDesk(data=folder.flight)
    session = desk.state.context.session
    desk.state = SectorState(SectorContext(session, folder.lists, folder.flight, 1, {}))
    desk.start().type("before start checklist", "yes")
    asked = desk.asking
    desk.type("line-up checklist", "no")
    assert desk.asking == asked  # back in the list one was in
    desk.type("engine fire on the ground")
    while desk.asking and not desk.asking.startswith("@desk"):
        desk.type("stop", "yes")
    desk.type("fuelling, yes", "passengers, no", "before start checklist")
    got = outcomes(desk)
    assert (got["fuelling"], got["passenger-briefing"]) == ("open", "not-applicable")
    desk.check()


def test_facts_stated_in_a_list_set_aside_hold_in_the_others() -> None:
    desk = fresh().start().type("before start checklist", "night yes", "qnh is 1020")
    desk.type("taxi checklist", "yes")
    assert desk.asking == "lights"
    desk.type("on", "five", "1018")
    assert desk.asking == "crosscheck"
    desk.type("1020")
    assert desk.state.progress.completed("taxi")


def test_the_later_word_counts_wherever_it_was_said() -> None:
    desk = fresh().start().type("before start checklist", "fuelling yes", "taxi checklist", "yes")
    desk.type("fuelling no", "five", "1018")
    desk.type("before start checklist")
    assert outcomes(desk)["fuelling"] == "not-applicable"
    desk.type("fuelling yes", "engine fire drill", "cutoff", "before start checklist")
    assert outcomes(desk)["fuelling"] == "open"
    desk.check()


def test_a_completed_list_is_due_again_and_asks_what_no_longer_holds() -> None:
    desk = fresh().start().type(*BEFORE_START)
    assert desk.spoken.endswith("Next: Taxi.")
    desk.type("set qnh to 1020")
    assert desk.spoken == "Altimeter setting: 1020 hPa. Due again: Before start, for Altimeters."
    desk.type("what is due")
    assert desk.spoken == "Next: Before start. Due again: Before start, for Altimeters."
    desk.type("taxi checklist")
    assert desk.spoken == ("Due again: Before start, for Altimeters. Run Taxi anyway? Yes or no?")
    desk.type("no", "before start checklist")
    assert outcomes(desk) == {
        "fuelling": "not-applicable",
        "doors": "open",  # critical: always asked again
        "briefing": "not-applicable",
        "altimeters": "open",
        "beacon": "not-applicable",
    }
    assert any("Beacon: answered at" in line for line in desk.news)
    desk.type("closed", "1018")
    assert desk.asking == "altimeters"
    desk.type("1020")
    assert desk.spoken == "Before start checklist complete. Next: Taxi."
    desk.type("before start checklist")
    assert "already complete" in desk.spoken
    desk.check()


def test_all_of_a_list_that_is_due_again_is_asked_where_that_is_wanted() -> None:
    desk = fresh().start().type(*BEFORE_START, "set qnh to 1020", "before start checklist")
    desk.type("do it anyway")
    assert outcomes(desk)["beacon"] == "open"
    assert outcomes(desk)["briefing"] == "open"


def test_a_change_in_a_later_list_tells_at_once_what_is_due_again() -> None:
    desk = fresh().start().type(*BEFORE_START, "taxi checklist", "fuelling yes")
    assert "Due again: Before start, for Fuelling. Flaps?" in desk.spoken
    desk.type("five", "1018")
    assert desk.spoken.endswith("Next: Climb. Due again: Before start, for Fuelling.")


def test_what_is_due_names_every_list_that_a_change_made_due_again() -> None:
    desk = fresh().start().type(*BEFORE_START, "taxi checklist", "five", "1018")
    assert desk.spoken.endswith("Next: Climb.")
    desk.type("set qnh to 1020", "what is due")
    assert desk.spoken == (
        "Next: Before start. Due again: Before start, for Altimeters. "
        "Due again: Taxi, for Altimeter cross-check."
    )


def test_a_list_run_again_by_wish_asks_everything() -> None:
    desk = fresh().start().type(*BEFORE_START, "before start checklist", "yes")
    assert outcomes(desk)["beacon"] == "open"


def test_what_makes_up_for_a_change_survives_a_break() -> None:
    desk = fresh().start().type(*BEFORE_START, "set qnh to 1020", "before start checklist")
    again = resumed(desk.feed(ev.Interrupted(desk.stamp(), "keyboard")))
    assert outcomes(again)["beacon"] == "not-applicable"
    again.type("closed", "fuelling yes")
    assert outcomes(again)["beacon"] == "not-applicable"
    assert outcomes(again)["fuelling"] == "open"
    again.type("1020", "caps on")
    assert complete_now(again.state.context, again.state.progress, "before-start")


def test_lists_of_the_ground_stay_as_they_were_once_the_aircraft_has_flown() -> None:
    desk = fresh().start().type(*BEFORE_START, "taxi checklist", "five", "1018", "climb checklist")
    desk.type("up", "set qnh to 1020")
    assert desk.spoken == "Altimeter setting: 1020 hPa."
    assert desk.type("what is due").spoken == "All lists are complete."


def test_a_journal_of_an_earlier_version_that_kept_no_basis_lapses_nothing() -> None:
    desk = fresh().start().type(*BEFORE_START)
    own, _ = desk.journals()
    from dataclasses import replace

    old = [replace(x, basis=None, settled=()) if isinstance(x, s.ListEnded) else x for x in own]
    progress = replay_sector(
        [
            *old,
            s.SetUpStated(
                fact="fuelling", state=True, utterance=own[1].utterance, seq=len(own) + 1
            ),
        ]
    )  # type: ignore[attr-defined]
    assert complete_now(desk.state.context, progress, "before-start")


def test_the_row_of_a_list_says_why_it_is_due_again() -> None:
    from callout.core.flight_run.viewing import view_of_desk

    desk = fresh().start().type(*BEFORE_START, "set qnh to 1020")
    row = view_of_desk(desk.state).rows[0]
    assert row.note == "due again, Altimeters"


@pytest.mark.parametrize("cut", range(1, 40))
def test_a_journal_cut_anywhere_in_a_change_is_worked_through_when_resumed(cut: int) -> None:
    """The disk may hold any part of what one change led to."""
    desk = fresh().start().type("before start checklist", "closed", "given", "1018")
    desk.type("set qnh to 1020", "fuelling yes", "passengers no")
    own, lists = desk.journals()
    ((session, records),) = lists.items()
    if cut >= len(records):
        return
    state = SectorState(desk.state.context, replay_sector(own))
    checklist = state.context.checklist("before-start")
    run = state.progress.run(session)
    assert checklist
    assert run
    inner = SessionState(list_context(state, checklist, run), replay_list(records[:cut]))
    again = fresh()
    again.state = SectorState(state.context, state.progress, inner=inner)
    again.now = desk.now
    again.feed(ev.ResumeAsked(again.stamp()))
    assert again.state.inner
    progress = again.state.inner.progress
    holds_under(progress.plan, progress, again)


def holds_under(plan: object, progress: object, desk: FlightDesk) -> None:
    """Every item of an open list that counts as answered is right under what it was told."""
    assert desk.state.inner
    now = desk.state.inner.progress
    setting = desk.state.inner.context.setting
    assert setting
    fresh_plan = setting.plan(now.facts, desk.state.context.session.tables, now.given, now.again)
    for item, done in zip(fresh_plan.items, now.items, strict=True):
        if item.applicable:
            assert done.outcome is not ItemOutcome.NOT_APPLICABLE
        if item.applicable and done.outcome is ItemOutcome.ANSWERED:
            words = done.heard
            tables = desk.state.context.session.tables
            assert judge_reply(words, item.expectation, tables).verdict is Verdict.MATCH


WORDS = (
    "before start checklist", "taxi checklist", "climb checklist", "engine fire drill", "yes", "no",
    "closed", "caps on", "given", "1018", "1020", "on", "five", "up", "cutoff", "next checklist",
    "fuelling yes", "fuelling no", "passengers yes", "passengers no", "night yes", "night no",
    "set qnh to 1020", "set qnh to 1018", "skip, broken", "defer", "go back", "hold", "continue",
    "stop", "leave them open", "take them now", "do it anyway", "what is due",
)  # fmt: skip
EXAMPLES = int(os.environ.get("CALLOUT_EXAMPLES", "90"))
"""How many flights are made up; thousands before a release."""
RIGHT, BREAK = "(the right reply)", "(the program is interrupted and resumed)"
CHANGES = WORDS[16:24]
BEFORE, TAXI = "before start checklist", "taxi checklist"
replies = st.lists(st.just(RIGHT), max_size=7)
whole = st.sampled_from([[BEFORE, *[RIGHT] * 6], [TAXI, "yes", *[RIGHT] * 5]])
part = st.tuples(st.sampled_from([BEFORE, TAXI]), replies).map(lambda x: [x[0], *x[1]])
change = st.sampled_from(CHANGES).map(lambda word: [word])
anything = st.sampled_from((*WORDS, BREAK)).map(lambda word: [word])
steps = st.lists(whole | part | change | change | replies | anything, min_size=2, max_size=9).map(
    lambda parts: [word for words in parts for word in words]
)
"""Whole lists, parts of lists and changes among whatever else: else no list would be complete."""


def right_now(desk: FlightDesk) -> str:
    """Return what answers whatever is asked now."""
    inner = desk.state.inner.progress if desk.state.awake and desk.state.inner else None
    if inner and inner.item:
        accepted = inner.item.expectation.accepted
        return accepted[0].text if accepted else "skip, not known"
    if desk.asking == "@desk":
        return "next checklist"
    return {"@open-items": "take them now", "@hold": "continue"}.get(desk.asking, "yes")


def live(script: list[str]) -> Iterator[FlightDesk]:
    """Yield the flight at its start, and after each step of the script."""
    desk = fresh().start()
    yield desk
    for words in script:
        if words == BREAK:
            desk = resumed(desk.feed(ev.Interrupted(desk.stamp(), "keyboard")))
        else:
            desk.type(right_now(desk) if words == RIGHT else words)
        yield desk
        if desk.over:
            break


def called_complete_is_complete(desk: FlightDesk) -> None:
    """Whatever counts as complete has a reply that is right, or a waiver, under what holds now."""
    context, progress = desk.state.context, desk.state.progress
    _own, lists = desk.journals()
    air = any(run.list_id == "climb" for run in progress.runs)
    for checklist in context.lists:
        if checklist.any_time or (air and checklist.id != "climb"):
            continue
        if complete_now(context, progress, checklist.id):
            _complete_under(desk, checklist, lists, [x.session_id for x in progress.runs])
    if desk.state.awake and desk.state.inner and not desk.state.inner.progress.ending:
        holds_under(None, None, desk)


def _complete_under(
    desk: FlightDesk,
    checklist: Checklist,
    lists: dict[str, list[JournalRecord]],
    order: list[str],
) -> None:
    context = desk.state.context
    tables = context.session.tables
    plan = plan_for(checklist, flight_now(context, desk.state.progress), tables)
    records = [x for name in order if f"-{checklist.id}-" in name for x in lists.get(name, [])]
    for item in plan.items:
        if item.applicable:
            assert _settled(item.id, records, item, tables), item.id


def _settled(item_id: str, records: list[JournalRecord], item: object, tables: object) -> bool:
    """Go through the journals alone, and judge the words again."""
    settled = False
    for record in records:
        match record:
            case r.Replied(item_id=found, utterance=said) if found == item_id:
                verdict = judge_reply(said.text, item.expectation, tables).verdict  # type: ignore[attr-defined, arg-type]
                settled = verdict is Verdict.MATCH
            case r.Skipped(item_id=found) if found == item_id:
                settled = True
            case r.Decided(choice=Choice.LEAVE_OPEN):
                settled = True
            case r.Reopened(item_id=found) if found == item_id:
                settled = False
    return settled


@given(steps)
@settings(max_examples=EXAMPLES, deadline=None)
def test_for_any_order_of_changes_and_answers_what_is_called_complete_is(script: list[str]) -> None:
    for desk in live(script):
        called_complete_is_complete(desk)
    desk.check()


@given(steps)
@settings(max_examples=EXAMPLES // 3, deadline=None)
def test_every_journal_of_a_changing_flight_replays_to_the_live_state(script: list[str]) -> None:
    *_, desk = live(script)
    _own, lists = desk.journals()
    state = desk.state
    for run in state.progress.runs:
        kept = state.aside.get(run.session_id) or (state.inner if not run.ending else None)
        if kept and run.session_id in lists:
            assert replay_list(lists[run.session_id]) == kept.progress
    for records in lists.values():
        final = replay_list(records)
        if final.ending is Ending.COMPLETED:
            open_ones = [i for i in final.items if i.outcome is None]
            assert not open_ones


def test_a_figure_stated_twice_keeps_the_later() -> None:
    desk = fresh().start().type("set qnh to 1020", "set qnh to 1022")
    assert desk.state.progress.given == (Given("qnh", Decimal(1022)),)


def test_what_changed_is_printed_once_when_a_list_is_taken_up_again() -> None:
    for held in ((), ("hold",)):
        desk = fresh().start().type("before start checklist", *held)
        desk.type("engine fire drill", "cutoff", "fuelling yes", "passengers no")
        desk.effects = []
        desk.type("before start checklist")
        printed = " ".join(line for x in desk.effects if isinstance(x, e.Show) for line in x.news)
        assert printed.count("Since then: fuelling: yes, passengers: no.") == 1
        assert printed.count("Now required: Fuelling.") == 1
        assert "Since then" in desk.spoken
