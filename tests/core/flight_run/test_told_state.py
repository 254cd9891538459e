"""A flight whose aircraft tells: the lists know it, and what is left set is watched if wished."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.state import Context
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.flight_run import flying
from callout.core.flight_run import records as s
from callout.core.flight_run.events import SectorStarted
from callout.core.flight_run.state import SectorContext, SectorState
from callout.core.state.board import Board, Move
from tests.core.flight_kit import flight, written
from tests.core.session_kit import offered

BEGAN = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
FLIGHT = "callout: 1\nstate: {beacon: Switch panel}\n"
LIST = """
callout: 1
id: before-start
title: Before start
phase: before-start
method: challenge-and-response
complete: before start checklist complete
items:
  - {id: beacon, challenge: Beacon, response: "on", proof: beacon == on}
"""


class Flown:
    def __init__(self, *, keeps_watch: bool) -> None:
        context = Context(default_commands(), default_tables(), find_candidates=offered)
        context = replace(context, watches=True, keeps_watch=keeps_watch)
        self.state = SectorState(SectorContext(context, (written(LIST),), flight(FLIGHT), 1, {}))
        self.now, self.count = 100.0, 0
        self.effects: list[e.Effect] = []
        self.feed(SectorStarted(self.stamp(), "f1", "ab", "Practice flight"))

    def stamp(self) -> ev.Stamp:
        self.count += 1
        self.now += 0.1
        return ev.Stamp(self.count, self.now, BEGAN + timedelta(seconds=self.now))

    def feed(self, event: ev.Event) -> None:
        self.state, made = flying.flight_step(self.state, event)
        self.effects += made
        while flying.step_is_due(self.state):
            self.state, made = flying.flight_step(self.state, ev.Ticked(self.stamp()))
            self.effects += made

    def say(self, words: str) -> None:
        self.feed(ev.TypedReply(self.stamp(), flying.asked_id(self.state), words))

    def tell(self, beacon: str, was: str = "") -> None:
        stamp = self.stamp()
        moves = (Move("beacon", was, beacon, stamp.at),) if was else ()
        self.feed(ev.StateReported(stamp, Board({"beacon": beacon}, stamp.at), moves))

    @property
    def said(self) -> str:
        return " ".join(x.text for x in self.effects if isinstance(x, e.Say))

    @property
    def moved_since(self) -> list[s.MovedSince]:
        kept = (x.record for x in self.effects if isinstance(x, e.Record))
        return [record for record in kept if isinstance(record, s.MovedSince)]


def test_what_was_told_between_lists_counts_in_the_list() -> None:
    flown = Flown(keeps_watch=False)
    flown.tell("off")
    flown.say("before start checklist")
    flown.say("on")
    assert "You said on; the beacon is off." in flown.said
    flown.tell("on", "off")
    flown.say("on")
    assert "Before start checklist complete" in flown.said


@pytest.mark.parametrize("keeps_watch", [False, True])
def test_what_is_moved_after_its_list_is_said_once_where_that_is_wished(keeps_watch: bool) -> None:
    flown = Flown(keeps_watch=keeps_watch)
    flown.tell("on")
    flown.say("before start checklist")
    flown.say("on")
    for was, now in (("on", "off"), ("off", "on"), ("on", "off")):
        flown.tell(now, was)
    assert [x.found for x in flown.moved_since] == ["the beacon is off"] * keeps_watch
    assert ("Beacon is no longer as you said" in flown.said) is keeps_watch
