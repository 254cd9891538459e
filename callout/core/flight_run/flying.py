"""A flight: ``step(state, event)`` runs its lists one at a time; none starts by itself."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run.arming import target_of
from callout.core.checklist_run.session import list_deadline, list_step
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.moment import Moment
from callout.core.flight_run import desk
from callout.core.flight_run import records as s
from callout.core.flight_run.calls import ListCall, find_other_list
from callout.core.flight_run.events import SectorStarted
from callout.core.flight_run.settling import Stepped, do_what_is_due, without_end
from callout.core.flight_run.state import SectorState
from callout.core.flight_run.summary import summarise_sector
from callout.core.flight_run.turn import DeskTurn, desk_target
from callout.core.model.utterance import Utterance
from callout.core.sentences import flight as sentences

LATE = "@late"
"""Marks a line typed between two questions: it answers neither."""


def flight_step(state: SectorState, event: ev.Event) -> Stepped:
    """Return the state after ``event`` and its effects; never raises, whatever the order of events.

    One step writes to one journal only: that of the flight, or that of its open list.
    """
    progress = state.progress
    if isinstance(event, ev.StateReported):
        state = replace(state, board=event.board)
    if isinstance(event, SectorStarted | ev.ResumeAsked) or not progress.sector_id:
        return desk.desk_step(state, event)
    if progress.ended or progress.suspended:
        return state, ()
    if not step_is_due(state):
        return _step_inside(state, event) if state.awake else desk.desk_step(state, event)
    if isinstance(event, ev.Interrupted):
        return _broken_off(state, event)
    if isinstance(event, ev.Ticked):
        return _refuse_late(*do_what_is_due(state, event.stamp))
    return _take_late(state, event)


def step_is_due(state: SectorState) -> bool:
    """Say whether another step is due at once: a list to begin, close or continue."""
    progress = state.progress
    if progress.ended or progress.suspended or not progress.sector_id:
        return False
    if state.wanted and not state.awake:
        return True
    inner = state.inner.progress if state.inner else None
    live = state.awake and inner is not None and not inner.ending and not inner.suspended
    return progress.open_run is not None and not live


def flight_deadline(state: SectorState) -> float | None:
    """Return the session time at which a Ticked event is due, or None while nothing is timed."""
    if state.awake and state.inner:
        return list_deadline(state.inner)
    return state.moment.listen_due


def asked_id(state: SectorState) -> str:
    """Return the id of what is asked for."""
    if state.awake and state.inner:
        return target_of(state.inner.progress)
    return desk_target(state.progress)


def moment_of(state: SectorState) -> Moment:
    """Return the passing moment of whatever is live."""
    return state.inner.moment if state.awake and state.inner else state.moment


def _take_late(state: SectorState, event: ev.Event) -> Stepped:
    """Keep news about the equipment for what comes next; anything else came too late."""
    if isinstance(event, ev.AdapterFailed | ev.AdapterRecovered | ev.SoundDisturbed):
        return desk.desk_step(state, event)
    if isinstance(event, ev.TypedReply):
        return replace(state, late=(*state.late, replace(event, item_id=LATE))), ()
    return state, ()


def _refuse_late(state: SectorState, effects: tuple[e.Effect, ...]) -> Stepped:
    """Say that lines typed in between answer nothing, now that a question is open."""
    if step_is_due(state) or not state.late:
        return state, effects
    late, state = state.late, replace(state, late=())
    for event in late:
        state, more = flight_step(state, event)
        effects = (*effects, *more)
    return state, effects


def _step_inside(state: SectorState, event: ev.Event) -> Stepped:
    assert state.inner
    call = find_other_list(state, event)
    if call:
        return _set_aside(state, event, *call)
    inner, effects = list_step(state.inner, event)
    if isinstance(event, ev.Interrupted):
        stopped = replace(state, inner=inner, progress=replace(state.progress, suspended=True))
        return stopped, tuple(_finished_as_flight(stopped, effects))
    kept, said = without_end(effects)
    return replace(state, inner=inner, lead=said), kept


def _finished_as_flight(state: SectorState, effects: tuple[e.Effect, ...]) -> list[e.Effect]:
    summary = summarise_sector(state.context, state.progress)
    return [e.Finish(summary) if isinstance(x, e.Finish) else x for x in effects]


def _broken_off(state: SectorState, event: ev.Interrupted) -> Stepped:
    turn = DeskTurn(state, event.stamp)
    turn.record(s.SectorSuspended(why=event.why))
    turn.finish()
    return turn.result()


def _set_aside(
    state: SectorState, event: ev.Event, call: ListCall, utterance: Utterance
) -> Stepped:
    assert state.inner
    why = sentences.was_called_for(call.checklist.title)
    inner, effects = list_step(state.inner, ev.SetAside(event.stamp, why))
    return replace(state, inner=inner, wanted=(call.checklist.id, utterance)), effects
