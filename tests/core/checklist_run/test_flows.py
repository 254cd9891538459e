"""Flows: timed in silence, prompted panel by panel, asked for from memory."""

from __future__ import annotations

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.state import SessionState
from callout.core.checklist_run.summary import summarise_list
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import FlowMode, Pacing
from callout.core.model.checklist import Method
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan, PlannedPanel
from callout.core.planning.run_plan import plan_for
from tests.core.flight_kit import flight, written
from tests.core.session_kit import Desk, plan

PANELS = (
    PlannedPanel("Overhead panel", ("Beacon: on",)),
    PlannedPanel("Pedestal"),
    PlannedPanel("Switch panel"),
)


def three() -> Plan:
    return plan(method=Method.FLOW_THEN_VERIFY, flow=PANELS)


def quiz() -> Desk:
    return Desk(three(), pacing=Pacing(flow=FlowMode.QUIZ)).start()


def first_words(desk: Desk) -> str:
    return next(x.text for x in desk.effects if isinstance(x, e.Say))


def test_a_silent_flow_is_only_timed() -> None:
    desk = Desk(three()).start()
    assert first_words(desk) == 'Before start checklist: do the flow, then say "done".'
    desk.say("done", after=40.0)
    assert desk.asking == "beacon"
    seconds = summarise_list(desk.state.progress).flow_seconds
    assert seconds is not None
    assert 40 <= seconds < 43
    desk.check()


def test_prompted_panels_are_timed_each() -> None:
    desk = Desk(three(), pacing=Pacing(flow=FlowMode.PROMPT)).start()
    desk.say("done", after=10.0).say("next panel", after=20.0).say("done", after=5.0)
    assert [p.seconds for p in desk.state.progress.panels] == [11.25, 21.25, 6.25]
    assert [x.detail for x in summarise_list(desk.state.progress).flow] == [
        "11.2 s",
        "21.2 s",
        "6.2 s",
    ]
    desk.check()


def test_the_panels_are_named_from_memory_in_order() -> None:
    desk = quiz()
    assert first_words(desk) == (
        "Before start checklist, the flow from memory. Which panel comes first?"
    )
    desk.say("overhead panel")
    assert desk.spoken == "Right. Not in the usual position: Beacon on. Which panel comes next?"
    desk.say("pedestal")
    assert desk.spoken == "Right. Which panel comes next?"
    desk.say("switch panel")
    assert desk.spoken == "Right. Flow done. Beacon?"
    assert all(not p.misses and not p.told for p in desk.state.progress.panels)
    desk.check()


def test_another_panel_is_refused_without_giving_the_answer_away() -> None:
    desk = quiz().say("pedestal")
    assert desk.spoken == 'Heard "pedestal". No. Which panel comes first?'
    assert "Overhead" not in desk.spoken
    desk.say("switch panel")
    assert desk.spoken.startswith(
        'Heard "switch panel". No: it is Overhead panel. Not in the usual position: Beacon on.'
    )
    (first,) = desk.state.progress.panels
    assert (first.panel, first.misses, first.told) == ("Overhead panel", 2, True)
    assert (
        summarise_list(desk.state.progress)
        .flow[0]
        .detail.endswith("another panel named first twice, had to be prompted")
    )
    desk.check()


def test_not_knowing_is_told_at_once() -> None:
    desk = quiz().say("don't know")
    assert desk.spoken.startswith("It is Overhead panel. Not in the usual position: Beacon on.")
    assert desk.state.progress.panels[0].told


@pytest.mark.parametrize(
    "words", ["panel", "done", "over head or pedestal", "not the overhead panel"]
)
def test_words_that_are_no_panel_are_never_taken_for_one(words: str) -> None:
    desk = quiz().say(words)
    assert desk.state.progress.flow_panels == 0
    named = [x for x in desk.records if isinstance(x, r.PanelNamed)]
    assert all(x.verdict is not Verdict.MATCH for x in named)


def test_a_guess_that_is_not_sure_is_not_counted() -> None:
    desk = quiz().say("pedestal", sure=False).say("pedestal", sure=False)
    assert desk.state.progress.flow_misses == 0


def test_every_panel_is_listened_for() -> None:
    desk = quiz()
    listen = [x for x in desk.effects if isinstance(x, e.Listen)][-1]
    texts = {c.text for c in listen.candidates.candidates}
    assert {"Overhead panel", "Pedestal", "Switch panel", "do not know"} <= texts


def test_a_flow_goes_on_at_its_panel_after_a_resume() -> None:
    desk = quiz().say("overhead panel").say("switch panel")
    again = Desk(three(), pacing=Pacing(flow=FlowMode.QUIZ))
    again.effects = list(desk.effects)
    again.state = SessionState(again.state.context, desk.state.progress)
    again.feed(ev.ResumeAsked(again.stamp())).settled()
    assert again.spoken.endswith("Which panel comes next?")
    again.say("pedestal")
    assert [p.misses for p in again.state.progress.panels] == [0, 1]
    again.check()


def test_only_what_leaves_its_rest_position_is_named() -> None:
    made = plan_for(
        written("""
callout: 1
id: after-landing
title: After landing
phase: after-landing
method: flow-then-verify
complete: after landing checklist complete
flow:
  - panel: Pedestal
    do:
      - {control: Flap lever, position: up, rest: up}
      - {control: Cowl flaps, position: open, rest: closed}
      - {control: Pitot heat, position: "on", rest: "off", when: icing}
items:
  - {id: flaps, challenge: Flaps, response: up}
"""),
        flight(),
        Desk().state.context.tables,
    )
    [panel] = made.flow
    assert (panel.panel, panel.exceptions) == ("Pedestal", ("Cowl flaps: open",))
    assert [c.control for c in panel.controls] == ["Flap lever", "Cowl flaps"]


@pytest.mark.parametrize(
    ("mode", "shown"),
    [
        (FlowMode.SILENT, "Flow"),
        (FlowMode.PROMPT, "Overhead panel"),
        (FlowMode.QUIZ, "Next panel?"),
    ],
)
def test_the_screen_shows_what_is_wanted_and_no_more(mode: FlowMode, shown: str) -> None:
    desk = Desk(three(), pacing=Pacing(flow=mode)).start()
    views = [x.view for x in desk.effects if isinstance(x, e.Show)]
    assert views[-1].challenge == shown
