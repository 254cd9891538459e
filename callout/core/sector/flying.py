"""A flight: ``step(state, event)`` runs its lists one at a time; none starts by itself."""

from __future__ import annotations

from dataclasses import replace

from callout.core import effects as e
from callout.core import events as ev
from callout.core.arming import target_of
from callout.core.causes import Ending
from callout.core.conversation.moment import Moment
from callout.core.sector import desk
from callout.core.sector import records as s
from callout.core.sector.calling import call_list
from callout.core.sector.calls import ListCall, drill_phrases, find_other_list
from callout.core.sector.events import SectorStarted
from callout.core.sector.planning import begin_plan, once_answered, produced_by
from callout.core.sector.state import Run, SectorState
from callout.core.sector.summary import summarise_sector
from callout.core.sector.turn import DeskTurn, desk_target
from callout.core.sector.wording import what_is_due
from callout.core.session import deadline as list_deadline
from callout.core.session import step as list_step
from callout.core.state import Progress, State
from callout.core.utterance import Utterance
from callout.errors import CalloutError

LATE = "@late"
"""What a line was typed for, when it came between two things: nothing that is asked."""
Stepped = tuple[SectorState, tuple[e.Effect, ...]]


def step(state: SectorState, event: ev.Event) -> Stepped:
    """Return the state after ``event`` and its effects; never raises on any order of events.

    One step writes to one journal only: that of the flight, or that of its open list.
    """
    progress = state.progress
    if isinstance(event, SectorStarted | ev.Resumed) or not progress.sector_id:
        return desk.step(state, event)
    if progress.ended or progress.suspended:
        return state, ()
    if not eager(state):
        return _inside(state, event) if state.awake else desk.step(state, event)
    if isinstance(event, ev.Interrupted):
        return _broken_off(state, event)
    if isinstance(event, ev.Ticked):
        return _refuse_late(*_settle(state, event.stamp))
    return _late(state, event)


def eager(state: SectorState) -> bool:
    """Say whether the next thing must be done at once: a list to begin, to close, to take up."""
    progress = state.progress
    if progress.ended or progress.suspended or not progress.sector_id:
        return False
    if state.wanted and not state.awake:
        return True
    inner = state.inner.progress if state.inner else None
    live = state.awake and inner is not None and not inner.ending and not inner.suspended
    return progress.open_run is not None and not live


def deadline(state: SectorState) -> float | None:
    """Return the session time at which a Ticked event is due, or None while nothing is timed."""
    if state.awake and state.inner:
        return list_deadline(state.inner)
    return state.moment.listen_due


def target(state: SectorState) -> str:
    """Return the id of what is asked for."""
    if state.awake and state.inner:
        return target_of(state.inner.progress)
    return desk_target(state.progress)


def moment_of(state: SectorState) -> Moment:
    """Return the passing moment of whatever is live."""
    return state.inner.moment if state.awake and state.inner else state.moment


def _late(state: SectorState, event: ev.Event) -> Stepped:
    """Keep news of the equipment for whatever comes next; anything else came too late."""
    if isinstance(event, ev.AdapterFailed | ev.AdapterRecovered | ev.SoundDisturbed):
        return desk.step(state, event)
    if isinstance(event, ev.TypedReply):
        return replace(state, late=(*state.late, replace(event, item_id=LATE))), ()
    return state, ()


def _refuse_late(state: SectorState, effects: tuple[e.Effect, ...]) -> Stepped:
    """Say of lines typed meanwhile that they answer nothing, now that something is asked."""
    if eager(state) or not state.late:
        return state, effects
    late, state = state.late, replace(state, late=())
    for event in late:
        state, more = step(state, event)
        effects = (*effects, *more)
    return state, effects


def _inside(state: SectorState, event: ev.Event) -> Stepped:
    assert state.inner
    call = find_other_list(state, event)
    if call:
        return _set_aside(state, event, *call)
    inner, effects = list_step(state.inner, event)
    if isinstance(event, ev.Interrupted):
        stopped = replace(state, inner=inner, progress=replace(state.progress, suspended=True))
        return stopped, tuple(_finished_as_flight(stopped, effects))
    kept, said = _without_end(effects)
    return replace(state, inner=inner, lead=said), kept


def _without_end(effects: tuple[e.Effect, ...]) -> tuple[tuple[e.Effect, ...], str]:
    """A list's end is not the flight's: its last words are said with what comes next."""
    if not any(isinstance(effect, e.Finish) for effect in effects):
        return effects, ""
    said = " ".join(effect.text for effect in effects if isinstance(effect, e.Say))
    return tuple(x for x in effects if not isinstance(x, e.Finish | e.Say)), said


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
    why = f"{call.checklist.title} was called for"
    inner, effects = list_step(state.inner, ev.SetAside(event.stamp, why))
    return replace(state, inner=inner, wanted=(call.checklist.id, utterance)), effects


def _settle(state: SectorState, stamp: ev.Stamp) -> Stepped:
    """Do what is due at once."""
    run = state.progress.open_run
    inner = state.inner
    if run is None:
        return _call_wanted(state, stamp)
    if inner is None or not inner.progress.session_id:
        return _begin(state, run, stamp)
    if inner.progress.ending:
        return _close(state, run, inner, stamp)
    if state.wanted and inner.progress.suspended:
        return _put_by(state, run, inner, stamp)
    moment = replace(state.moment, lines=(), sentence="")
    resumed, effects = list_step(replace(inner, moment=moment), ev.Resumed(stamp))
    return replace(state, inner=resumed, awake=True), effects


def _begin(state: SectorState, run: Run, stamp: ev.Stamp) -> Stepped:
    """Start the list that was called for, with the set-up as it is now."""
    try:
        plan, context = begin_plan(state, run.list_id, drill_phrases(state.context))
    except CalloutError as error:
        return _cannot_run(state, run, stamp, error)
    moment = Moment(
        token=state.moment.token,
        listening=state.moment.listening,
        troubles=state.moment.troubles,
        seen=state.moment.seen,
    )
    about = {"sector": state.progress.sector_id, "aircraft": state.context.flight.aircraft}
    quiet, pace = state.progress.quiet, state.progress.pace
    event = ev.Started(stamp, run.session_id, plan, about, quiet=quiet, pace=pace)
    inner, effects = list_step(State(context, Progress(), moment), event)
    kept, said = _without_end(effects)
    return replace(state, inner=inner, awake=True, lead=said), kept


def _cannot_run(state: SectorState, run: Run, stamp: ev.Stamp, error: CalloutError) -> Stepped:
    turn = DeskTurn(state, stamp)
    turn.record(s.ListEnded(session_id=run.session_id, ending=Ending.STOPPED))
    turn.tell(f"It cannot be run: {error.message} {error.hint}".strip())
    turn.close_list()
    return turn.result()


def _close(state: SectorState, run: Run, inner: State, stamp: ev.Stamp) -> Stepped:
    """Take over what the list that ended leaves, and say what comes next."""
    done = inner.progress
    assert done.ending
    turn = DeskTurn(replace(state, moment=_after(inner)), stamp)
    turn.record(
        s.ListEnded(
            session_id=run.session_id,
            ending=done.ending,
            open_items=len(done.unanswered),
            skipped=len(done.skipped),
            facts={name: state for name, state in done.facts.items() if state is not None},
            produced=produced_by(done),
            once=once_answered(done),
            quiet=done.quiet,
            pace=done.pace,
            sound=done.sound,
        )
    )
    for given in done.given:
        turn.record(s.QuantityGiven(given=given))
    due = what_is_due(turn.context, turn.progress)
    turn.say(state.lead)
    turn.tell(due)
    turn.set(sentence=" ".join(part for part in (state.lead, due) if part))
    turn.close_list(lead="")
    return turn.result()


def _after(inner: State) -> Moment:
    """Return the moment between lists after one."""
    before = inner.moment
    return Moment(
        token=before.token,
        listening=before.listening,
        troubles=before.troubles,
        seen=before.seen,
    )


def _put_by(state: SectorState, run: Run, inner: State, stamp: ev.Stamp) -> Stepped:
    turn = DeskTurn(replace(state, moment=_after(inner)), stamp)
    turn.record(s.ListSetAside(session_id=run.session_id))
    turn.note(f"{inner.progress.plan.title} set aside.")
    turn.close_list()
    turn.state = replace(turn.state, aside={**state.aside, run.session_id: inner})
    return turn.result()


def _call_wanted(state: SectorState, stamp: ev.Stamp) -> Stepped:
    assert state.wanted
    list_id, utterance = state.wanted
    assert isinstance(utterance, Utterance)
    checklist = state.context.checklist(list_id)
    turn = DeskTurn(replace(state, wanted=None), stamp)
    if checklist:
        call_list(turn, checklist, utterance)
    return turn.result()
