"""A flow watched out of the stream: what moved, what was missed, and what is asked first."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.replay import replay_list
from callout.core.conversation import events as ev
from callout.core.debrief.gather import session_rows
from callout.core.model.checklist import Method
from callout.core.planning.plan import PlannedControl, PlannedPanel
from callout.core.planning.proofs import PlannedProof, Watched
from callout.core.state.board import Board, Move
from callout.reporting.hand_chart import hand_chart
from tests.core.session_kit import Desk, item, plan


def proof(name: str, position: str) -> PlannedProof:
    watched = Watched(name.replace("_", " "), None, ("off", "on", "standby"))
    return PlannedProof(f"{name} == {position}", {name: watched})


FLOW = (
    PlannedPanel(
        "Switches",
        controls=(
            PlannedControl("Fuel pump", "off", proof=proof("pump", "off")),
            PlannedControl("Landing light", "off", proof=proof("light", "off")),
        ),
        place=(0.0, 0.0),
    ),
    PlannedPanel(
        "Radio",
        controls=(PlannedControl("Transponder", "standby", proof=proof("xpdr", "standby")),),
        place=(40.0, 10.0),
    ),
)
ITEMS = (
    item("pump", "Fuel pump", "off", proof=proof("pump", "off")),
    item("xpdr", "Transponder", "standby", proof=proof("xpdr", "standby")),
    item("light", "Landing light", "off", proof=proof("light", "off")),
)
START = {"pump": "on", "light": "on", "xpdr": "on", "beacon": "on", "taxi": "off"}


class Hand:
    """A session whose aircraft is handled."""

    def __init__(self) -> None:
        self.desk = Desk()
        self.desk.plan = plan(items=ITEMS, flow=FLOW, method=Method.FLOW_THEN_VERIFY)
        context = replace(self.desk.state.context, watches=True)
        self.desk.state = replace(self.desk.state, context=context)
        self.values = dict(START)
        self.desk.start()
        self.tell()

    def tell(self, *moves: Move) -> None:
        made = self.desk
        made.feed(ev.StateReported(made.stamp(), Board(dict(self.values), made.now), moves))

    def move(self, name: str, to: str) -> Hand:
        self.desk.now += 1.5
        was, self.values[name] = self.values[name], to
        panel = "Radio" if name == "xpdr" else "Switches"
        self.tell(Move(name, was, to, self.desk.now, name, panel))
        return self

    def done(self) -> r.FlowSeen:
        self.desk.say("done")
        return next(x for x in self.desk.records if isinstance(x, r.FlowSeen))


def test_what_was_missed_is_said_and_asked_first() -> None:
    hand = Hand().move("xpdr", "standby").move("pump", "off")
    seen = hand.done()
    assert (seen.missed, seen.first) == (("Landing light",), ("light",))
    assert "Not done in the flow: Landing light." in hand.desk.spoken
    assert hand.desk.asking == "light", "although it is the last of the list"
    hand.move("light", "off").desk.quiet_voice().say("off")
    assert hand.desk.asking == "pump"


def test_moves_by_mistake_and_moves_taken_back_are_told_apart() -> None:
    hand = Hand().move("beacon", "off").move("taxi", "on").move("taxi", "off")
    seen = hand.move("pump", "off").move("pump", "on").done()
    assert seen.mistaken == ("beacon",)
    assert set(seen.back) == {"taxi", "pump"}
    assert seen.missed == ("Fuel pump", "Landing light", "Transponder")


def test_the_flow_ends_without_a_word_once_all_of_it_is_set() -> None:
    hand = Hand().move("pump", "off").move("light", "off")
    assert hand.desk.state.progress.question is Question.FLOW
    hand.move("xpdr", "standby")
    assert hand.desk.state.progress.flow_done
    assert hand.desk.asking == "pump"


def test_what_is_set_from_the_beginning_ends_nothing() -> None:
    hand = Hand()
    hand.values |= {"pump": "off", "light": "off", "xpdr": "standby"}
    hand.tell()
    assert hand.desk.state.progress.question is Question.FLOW
    assert hand.done().missed == ()


def test_a_gauge_that_moves_by_itself_is_no_hand() -> None:
    hand = Hand()
    hand.tell(Move("fuel", Decimal(41), Decimal(40), hand.desk.now, "fuel", "Gauges"))
    assert not any(isinstance(x, r.ControlMoved) for x in hand.desk.records)


def test_what_is_stale_was_not_seen_rather_than_missed() -> None:
    hand = Hand().move("pump", "off")
    hand.desk.now += 60
    seen = hand.done()
    assert seen.missed == ()
    assert seen.unknown == ("Fuel pump", "Landing light", "Transponder")


def test_a_replay_gives_the_same_and_the_debrief_draws_the_way() -> None:
    hand = Hand().move("xpdr", "standby").move("pump", "off")
    hand.done()
    assert replay_list(hand.desk.records) == hand.desk.state.progress
    session, _ = session_rows(hand.desk.records)
    assert session.hand_way == ("Radio", "Switches")
    assert [move.at for move in session.hand_moves] == sorted(m.at for m in session.hand_moves)
    chart = hand_chart(session, 0)
    assert "<svg" in chart
    assert "Your order: Radio, Switches" in chart
