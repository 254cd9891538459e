""" "Why?" at an item and in a flow; what a simulator lacks is left out and told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callout.app.shared.tables import default_tables
from callout.core.checklist_run.summary import summarise_list
from callout.core.conversation.pacing import FlowMode, Pacing
from callout.core.debrief.gather import session_rows
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import Method
from callout.core.model.located import from_plain
from callout.core.planning.plan import Plan, PlannedControl, PlannedPanel
from callout.core.planning.plan_parts import NOT_FITTED
from callout.core.planning.run_plan import plan_for
from callout.terminal.report import report_lines
from tests.core.session_kit import Desk, item, plan

PANEL = PlannedPanel(
    "Pedestal",
    ("Cowl flaps: open",),
    (
        PlannedControl("Cowl flaps", "open", why="On the ground no air cools the engines."),
        PlannedControl("Flap lever", "up", exception=False),
    ),
)


def reasoned() -> Plan:
    items = (
        item("beacon", "Beacon", "on", why="It warns people near the propeller."),
        item("pump", "Pump", "off"),
    )
    return plan(items=items)


@pytest.mark.parametrize("word", ["why", "tell me why", "#"])
def test_an_item_says_why_and_waits_on(word: str) -> None:
    desk = Desk(reasoned()).start()
    desk.key(word) if word == "#" else desk.say(word)
    assert desk.spoken == "It warns people near the propeller. Now Beacon?"
    assert desk.asking == "beacon"
    desk.say("on").say("why")
    assert desk.spoken.startswith("The list gives no reason for Pump.")
    desk.check()


def test_a_panel_says_why_unless_it_is_asked_for() -> None:
    flowing = plan(method=Method.FLOW_THEN_VERIFY, flow=(PANEL,))
    desk = Desk(flowing, pacing=Pacing(flow=FlowMode.PROMPT)).start().say("why")
    assert "Cowl flaps: On the ground no air cools the engines." in desk.spoken
    assert desk.asking == "@flow"
    quiz = Desk(flowing, pacing=Pacing(flow=FlowMode.QUIZ)).start().say("why")
    assert "Cowl" not in quiz.spoken
    assert quiz.spoken.startswith("Answer first")


def test_reciting_gives_nothing_away() -> None:
    memory = replace(reasoned().items[0], memory=True)
    desk = Desk(plan(items=(memory,))).start().say("why")
    assert desk.spoken.startswith("Answer first")


WRITTEN = {
    "callout": 1,
    "id": "after-landing",
    "title": "After landing",
    "phase": "after-landing",
    "method": "flow-then-verify",
    "complete": "after landing checklist complete",
    "flow": [
        {
            "panel": "Pedestal",
            "do": [
                {"control": "Cowl flaps", "position": "open"},
                {"control": "Flap lever", "position": "up"},
            ],
        }
    ],
    "items": [
        {"id": "flaps", "challenge": "Flaps", "response": "up"},
        {"id": "cowl", "challenge": "Cowl flaps", "response": "open"},
    ],
}


def test_what_the_simulator_lacks_is_left_out_and_told() -> None:
    checklist = checklist_from(from_plain(WRITTEN), "after-landing.yaml")
    lacking = flight_from(from_plain({"callout": 1, "lacks": "cowl flaps"}), "flight.yaml")
    fitted = plan_for(checklist, lacking, default_tables())
    assert [c.control for c in fitted.flow[0].controls] == ["Flap lever"]
    assert fitted.items[1].why_not == NOT_FITTED
    desk = Desk(fitted).start().say("done").say("up")
    assert desk.state.progress.ending
    lines = "\n".join(report_lines(summarise_list(desk.state.progress)))
    assert "Not in the flow, because this simulator lacks: Cowl flaps" in lines
    assert "Cowl flaps: not in this simulator" in lines
    session, items = session_rows(desk.records)
    assert session.flow_lacking == ("Cowl flaps",)
    assert [i.not_fitted for i in items] == [False, True]
    desk.check()


def test_what_was_said_from_memory_is_summed_up_in_order() -> None:
    items = tuple(
        item(name, name.capitalize(), "off", wrong=("on",), memory=True)
        for name in ("throttle", "fuel", "pump")
    )
    desk = Desk(plan(items=items)).start()
    desk.type("throttle off").type("fuel on").type("fuel off").type("done")
    lines = "\n".join(report_lines(summarise_list(desk.state.progress)))
    assert "From memory in " in lines
    assert "Throttle: said after" in lines
    assert ", wrong once" in lines
    assert "Pump: not said" in lines
    session, rows = session_rows(desk.records)
    assert session.memory_seconds is not None
    assert [row.recital.split()[0] for row in rows] == ["said", "said", "not"]
