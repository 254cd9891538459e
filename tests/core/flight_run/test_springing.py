"""Memory items sprung in a flight: on demand, by lot, judged, timed and told afterwards."""

from __future__ import annotations

from dataclasses import replace

from callout.app.running.flying import draw_surprises
from callout.core.checklist_run.records import Challenged, Recited
from callout.core.conversation.events import ResumeAsked
from callout.core.conversation.records import JournalRecord
from callout.core.flight_run.records import ListCalled, ListEnded
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.springing import by_lot
from callout.core.flight_run.state import SectorState, Surprises
from callout.core.flight_run.summary import summarise_sector
from tests.core.flight_kit import FlightDesk, written

SMOKE = """
callout: 1
id: smoke
title: Smoke
phase: non-normal
method: read-and-do
complete: smoke checklist complete
items:
  - {id: vents, challenge: Vents, response: open, wrong: closed, memory: yes}
  - {id: heater, challenge: Cabin heater, response: off, wrong: on, memory: yes}
  - {id: tower, challenge: Tower, response: informed}
"""


NO_LOT = Surprises()


def desk(surprises: Surprises = NO_LOT) -> FlightDesk:
    flight = FlightDesk()
    context = flight.state.context
    lists = (*context.lists, written(SMOKE))
    flight.state = replace(flight.state, context=replace(context, lists=lists, surprises=surprises))
    return flight.start()


def of_lists(flight: FlightDesk) -> list[JournalRecord]:
    return [record for records in flight.journals()[1].values() for record in records]


def test_memory_items_are_asked_for_and_nothing_else_of_their_list() -> None:
    flight = desk().say("memory items")
    assert "Smoke: memory items." in flight.spoken
    assert "Vents" not in flight.spoken
    flight.type("vents open").type("cabin heater off")
    assert "Smoke, memory items complete." in flight.spoken
    (called,) = (x for x in flight.journals()[0] if isinstance(x, ListCalled))
    assert called.sprung
    inner = [x for x in of_lists(flight) if isinstance(x, Challenged)]
    assert not inner
    run = summarise_sector(flight.state.context, flight.state.progress).runs[0]
    assert run.title == "Smoke, memory items"
    assert "2 of 2 from memory in " in run.how
    flight.check()


def test_order_time_and_what_was_missed_are_told() -> None:
    flight = desk().say("memory items")
    flight.type("cabin heater off").type("vents closed").type("done")
    flight.type("open").type("off")
    ended = next(x for x in flight.journals()[0] if isinstance(x, ListEnded))
    assert ended.recital.startswith("0 of 2 from memory in ")
    assert "1 before its turn" in ended.recital
    said = [x for x in of_lists(flight) if isinstance(x, Recited)]
    assert all(x.seconds is not None for x in said)


def test_by_lot_they_come_after_a_list_and_only_where_that_is_asked_for() -> None:
    plainly = desk().say("power-up checklist").type("on").type("passed")
    assert "memory items" not in plainly.spoken.casefold()
    flight = desk(Surprises(after=(1,), order=("smoke",)))
    flight.say("power-up checklist").type("on").type("passed")
    assert "Smoke: memory items." in flight.spoken
    flight.type("vents open").type("cabin heater off")
    assert sum(isinstance(x, ListCalled) and x.sprung for x in flight.journals()[0]) == 1
    flight.check()


def test_an_aircraft_without_memory_items_says_so() -> None:
    flight = FlightDesk().start().say("memory items")
    assert "No list for this aircraft has memory items." in flight.spoken


def test_the_lot_is_the_same_for_the_same_seed() -> None:
    lists = desk().state.context.lists
    assert draw_surprises(lists, None) == Surprises()
    assert draw_surprises(lists, 7) == draw_surprises(lists, 7)
    assert len({draw_surprises(lists, seed).after for seed in range(40)}) > 1
    assert draw_surprises(lists, 7).order == ("smoke",)


def test_memory_items_that_were_due_by_lot_when_the_program_died_come_on_resume() -> None:
    flight = desk(Surprises(after=(1,), order=("smoke",)))
    flight.say("power-up checklist").type("on").type("passed")
    kept = flight.journals()[0]
    cut = next(n for n, x in enumerate(kept) if isinstance(x, ListEnded)) + 1
    assert isinstance(kept[cut], ListCalled), "the call that the crash took away"
    progress = replay_sector(kept[:cut])
    flight.state = SectorState(flight.state.context, progress)
    flight.effects.clear()
    stamp = flight.stamp()
    flight.feed(ResumeAsked(stamp))
    assert "Smoke: memory items." in flight.spoken


def test_memory_items_already_sprung_do_not_come_again_on_resume() -> None:
    flight = desk(Surprises(after=(1,), order=("smoke",)))
    flight.say("power-up checklist").type("on").type("passed")
    flight.type("vents open").type("cabin heater off")
    assert by_lot(flight.state.context, replay_sector(flight.journals()[0])) is None
