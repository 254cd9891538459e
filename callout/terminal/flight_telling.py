"""A flight's records as sentences."""

from __future__ import annotations

from functools import singledispatch

from callout.core.checklist_run import wording
from callout.core.flight_run import records as s
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.planning.stated_quantity import told_given
from callout.core.sentences import session as sentences
from callout.core.sentences import telling


@singledispatch
def tell_flight(record: s.SectorRecord) -> str:
    """Return one record of a flight as a sentence."""
    return type(record).__name__


@tell_flight.register
def _(record: s.SectorBegan) -> str:
    received = telling.aircraft_taken_over(record.received) if record.received else ""
    return f"{record.title} began.{received}"


@tell_flight.register
def _(record: s.ListCalled) -> str:
    warned = telling.not_completed_then(wording.join_names(record.warned)) if record.warned else ""
    what = "Memory items" if record.sprung else "List"
    return f"{wording.heard_line(record.utterance)} {what}: {record.list_id}.{warned}"


@tell_flight.register
def _(record: s.ListSetAside) -> str:
    return sentences.list_paused(record.session_id)


@tell_flight.register
def _(record: s.ListTakenUp) -> str:
    return f"{wording.heard_line(record.utterance)} Resumed: {record.session_id}."


@tell_flight.register
def _(record: s.ListEnded) -> str:
    counts = [(record.skipped, "skipped"), (record.open_items, "open")]
    extra = "".join(f", {count} {what}" for count, what in counts if count)
    recital = f"; {record.recital}" if record.recital else ""
    return f"  {record.session_id} {record.ending.value}{extra}{recital}."


@tell_flight.register
def _(record: s.MomentCalled) -> str:
    return f"{wording.heard_line(record.utterance)} Moment: {record.moment}."


@tell_flight.register
def _(record: s.MovedSince) -> str:
    return telling.no_longer_as_left(record.item_id, record.found)


@tell_flight.register
def _(record: s.SetUpStated) -> str:
    return f"Set-up: {record.fact.replace('_', ' ')}: {'yes' if record.state else 'no'}."


@tell_flight.register
def _(record: s.QuantityGiven) -> str:
    return f"Stated: {told_given(record.given, EMPTY_FLIGHT)}"


@tell_flight.register
def _(record: s.DeskCommanded) -> str:
    return f"  {wording.heard_line(record.utterance)} Command: {record.command.value}."


@tell_flight.register
def _(record: s.DeskAsked) -> str:
    about = f" ({record.list_id})" if record.list_id else ""
    return f"Question: {record.question.value}{about}?"


@tell_flight.register
def _(record: s.DeskDecided) -> str:
    return f"  {wording.heard_line(record.utterance)} Decided: {record.choice.value}."


@tell_flight.register
def _(record: s.DeskMisunderstood) -> str:
    return telling.no_list_has_name(wording.heard_line(record.utterance))


@tell_flight.register
def _(record: s.SectorEnded) -> str:
    left = wording.join_names(record.not_completed)
    return f"Flight ended.{f' Not completed: {left}.' if left else ''}"
