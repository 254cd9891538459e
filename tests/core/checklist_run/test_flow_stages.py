"""The four stages in which a flow is learnt: read, exceptions, recall, against the clock."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from callout.app.shared.checklist_files import load_checklist, load_flight
from callout.app.shared.tables import default_tables
from callout.core.checklist_run import records as r
from callout.core.checklist_run.flow_recall import controls_of, due_control, weigh_control
from callout.core.checklist_run.flow_stages import next_stage, past_after
from callout.core.checklist_run.state import ControlProgress, FlowPast, Progress
from callout.core.checklist_run.summary import summarise_list
from callout.core.conversation import effects as e
from callout.core.conversation.pacing import STAGES, FlowMode, Pacing
from callout.core.debrief.gather import session_rows
from callout.core.judging.contrast import contrasting_replies
from callout.core.judging.parse_answer import parse_answer
from callout.core.model.checklist import Method
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan, PlannedControl, PlannedPanel
from callout.core.planning.run_plan import plan_for
from callout.terminal.report import report_lines
from tests.core.session_kit import Desk, plan

SHIPPED = Path(__file__).parents[3] / "checklists"
TABLES = default_tables()
FLOWS = [
    path
    for path in sorted(SHIPPED.glob("*/*.yaml"))
    if path.name != "flight.yaml" and load_checklist(path).flow
]
PANELS = (
    PlannedPanel(
        "Pedestal",
        ("Cowl flaps: open",),
        (
            PlannedControl("Cowl flaps", "open", why="The engines cool."),
            PlannedControl("Flap lever", "up", exception=False),
        ),
    ),
    PlannedPanel("Radio stack", (), (PlannedControl("Transponder", "standby", exception=False),)),
)


def two() -> Plan:
    return plan(method=Method.FLOW_THEN_VERIFY, flow=PANELS)


def at(mode: FlowMode, past: FlowPast | None = None) -> Desk:
    desk = Desk(two(), pacing=Pacing(flow=mode))
    flows = {"before-start": past} if past else {}
    desk.state = replace(desk.state, context=replace(desk.state.context, flows=flows))
    return desk.start()


def first_words(desk: Desk) -> str:
    return next(x.text for x in desk.effects if isinstance(x, e.Say))


def lines_of(desk: Desk) -> str:
    return "\n".join(report_lines(summarise_list(desk.state.progress)))


def test_every_control_is_read_in_its_order_with_its_position_and_why() -> None:
    desk = at(FlowMode.READ)
    assert first_words(desk) == (
        "Pedestal. Cowl flaps, open: The engines cool. Flap lever, up. "
        'Say "done" for the next panel.'
    )
    desk.say("done")
    assert desk.spoken == 'Radio stack. Transponder, standby. Say "done" for the next panel.'
    desk.say("done")
    assert desk.asking == "beacon"
    assert "Stage 1 of 4 done. Next time, if you like: the exceptions only." in lines_of(desk)
    desk.check()


def test_each_control_is_recalled_and_judged() -> None:
    desk = at(FlowMode.RECALL)
    opening = first_words(desk)
    assert opening.endswith("the flow from memory. Pedestal. First control, and its position?")
    assert "Cowl" not in opening
    desk.say("cowl flaps open")
    assert desk.spoken == "Right. Pedestal. Next control, and its position?"
    desk.say("flaps up")
    assert desk.spoken == "Right. Radio stack. First control, and its position?"
    desk.say("transponder standby")
    assert desk.spoken == "Right. Flow done. Beacon?"
    assert [(c.misses, c.told) for c in desk.state.progress.controls] == [(0, False)] * 3
    assert "Stage 3 of 4 done" in lines_of(desk)
    assert "From memory: 3 of 3 right first time" in lines_of(desk)
    desk.check()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("cowl flaps closed", "No."),
        ("cowl flaps not open", "No."),
        ("flap lever up", "Another control comes before Flap lever."),
        ("open", "Say the control and its position."),
        ("done", "Say the control and its position."),
    ],
)
def test_what_is_not_the_control_due_is_refused_and_not_given_away(words: str, said: str) -> None:
    desk = at(FlowMode.RECALL).say(words)
    assert said in desk.spoken
    assert desk.asking == "@flow"
    assert not desk.state.progress.controls
    desk.check()


def test_the_second_miss_and_not_known_are_told_with_the_reason() -> None:
    desk = at(FlowMode.RECALL).say("cowl flaps closed").say("cowl flaps shut")
    assert "It is Cowl flaps, open. The engines cool." in desk.spoken
    desk.say("not known")
    assert "It is Flap lever, up." in desk.spoken
    desk.say("transponder standby")
    assert not desk.state.progress.flow_passed
    assert "Stage 3 of 4: repeat it next time." in lines_of(desk)
    assert "Pedestal, Cowl flaps: wrong twice, had to be prompted" in lines_of(desk)
    session, _ = session_rows(desk.records)
    assert session.flow_misses == 4
    assert session.flow_stage.startswith("Stage 3")
    desk.check()


def test_an_unsure_reply_settles_nothing() -> None:
    desk = at(FlowMode.RECALL).say("cowl flaps open", sure=False)
    assert not desk.state.progress.controls
    assert desk.state.progress.flow_misses == 0


def test_against_the_clock_the_own_best_counts() -> None:
    desk = at(FlowMode.CLOCK, FlowPast(best=20.0)).say("done", after=19.0)
    assert desk.state.progress.flow_passed
    slow = at(FlowMode.CLOCK, FlowPast(best=20.0)).say("done", after=40.0)
    assert not slow.state.progress.flow_passed
    told = [line for x in slow.effects if isinstance(x, e.Show) for line in x.news]
    assert any("your best 20 s" in line for line in told)
    first = at(FlowMode.CLOCK).say("done", after=60.0)
    assert first.state.progress.flow_passed


def test_the_next_stage_is_worked_out_of_the_journals() -> None:
    read = at(FlowMode.READ).say("done").say("done")
    assert next_stage(past_after([read.records])) is FlowMode.PROMPT
    exceptions = at(FlowMode.PROMPT).say("done").say("done")
    missed = at(FlowMode.RECALL).say("not known").say("flaps up").say("transponder standby")
    good = at(FlowMode.RECALL).say("cowl flaps open").say("flaps up").say("transponder standby")
    so_far = [read.records, exceptions.records, missed.records]
    assert next_stage(past_after(so_far)) is FlowMode.RECALL
    assert next_stage(past_after([*so_far, good.records])) is FlowMode.CLOCK
    assert next_stage(past_after([*so_far, good.records, missed.records])) is FlowMode.RECALL
    clock = at(FlowMode.CLOCK).say("done", after=30.0)
    past = past_after([*so_far, good.records, clock.records])
    assert past.passed == set(STAGES)
    assert past.best == pytest.approx(clock.state.progress.flow_seconds)
    assert next_stage(past) is FlowMode.CLOCK


def test_the_stage_that_is_due_is_taken_where_that_is_asked_for() -> None:
    assert "Cowl flaps, open: The engines cool." in first_words(at(FlowMode.NEXT))
    known = FlowPast(frozenset({FlowMode.READ, FlowMode.PROMPT}))
    assert "First control" in first_words(at(FlowMode.NEXT, known))


def test_a_plan_of_an_earlier_version_falls_back_to_its_exceptions() -> None:
    old = plan(method=Method.FLOW_THEN_VERIFY, flow=(PlannedPanel("Pedestal", ("Pump: on",)),))
    desk = Desk(old, pacing=Pacing(flow=FlowMode.RECALL)).start()
    assert "Not in the usual position: Pump on." in first_words(desk)


@pytest.mark.parametrize("path", FLOWS, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_every_shipped_flow_can_be_recalled_and_no_contrary_passes(path: Path) -> None:
    flight = load_flight(path.parent / "flight.yaml")
    progress = Progress(plan=plan_for(load_checklist(path), flight, TABLES))
    pairs = controls_of(progress)
    assert pairs
    for n, (panel, one) in enumerate(pairs):
        done = tuple(ControlProgress(p.panel, c.control) for p, c in pairs[:n])
        here = replace(progress, controls=done)
        assert due_control(here) == (panel, one)
        right = weigh_control(here, f"{one.control} {one.position}", TABLES)
        assert right.verdict is Verdict.MATCH, (one, right)
        for contrary in contrasting_replies(parse_answer(one.position, TABLES), TABLES):
            judged = weigh_control(here, f"{one.control} {contrary}", TABLES)
            assert judged.verdict is not Verdict.MATCH, (one, contrary)


def test_the_records_say_what_was_said() -> None:
    desk = at(FlowMode.RECALL).say("cowl flaps open")
    (said,) = (x for x in desk.records if isinstance(x, r.ControlRecalled))
    assert (said.panel, said.control, said.verdict) == ("Pedestal", "Cowl flaps", Verdict.MATCH)
