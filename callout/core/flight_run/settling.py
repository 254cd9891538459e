"""What a flight does at once: begin, close, pause or resume a list."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.said_and_set import kept_of
from callout.core.checklist_run.session import list_step
from callout.core.checklist_run.settled import settled_in
from callout.core.checklist_run.state import Progress, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.moment import Moment
from callout.core.flight_run import records as s
from callout.core.flight_run.calling import call_list, spring_memory_items
from callout.core.flight_run.facts import known_facts
from callout.core.flight_run.planning import begin_plan, once_answered, produced_by, renewed_context
from callout.core.flight_run.springing import asks_memory, by_lot, recital_words
from callout.core.flight_run.state import ListRun, SectorState
from callout.core.flight_run.turn import DeskTurn
from callout.core.flight_run.wording import what_is_due
from callout.core.model.utterance import Utterance
from callout.core.sentences import flight as sentences
from callout.errors import CalloutError

Stepped = tuple[SectorState, tuple[e.Effect, ...]]


def do_what_is_due(state: SectorState, stamp: ev.Stamp) -> Stepped:
    """Do what is due at once."""
    run = state.progress.open_run
    inner = state.inner
    if run is None:
        return _call_wanted(state, stamp)
    if inner is None or not inner.progress.session_id:
        return _begin_list(state, run, stamp)
    if inner.progress.ending:
        return _close_list(state, run, inner, stamp)
    if state.wanted and inner.progress.suspended:
        return _put_by(state, run, inner, stamp)
    return _take_up(state, run, inner, stamp)


def _take_up(state: SectorState, run: ListRun, inner: SessionState, stamp: ev.Stamp) -> Stepped:
    """Continue a list, and tell it what the flight has learned meanwhile."""
    context, facts, given = renewed_context(state, run, inner)
    moment = replace(state.moment, lines=(), sentence="")
    event = ev.ResumeAsked(stamp, facts=facts, given=given)
    asleep = SessionState(context, inner.progress, moment, state.board)
    resumed, effects = list_step(asleep, event)
    kept, said = without_end(effects)
    return replace(state, inner=resumed, awake=True, lead=said), kept


def _begin_list(state: SectorState, run: ListRun, stamp: ev.Stamp) -> Stepped:
    """Start the list that was called for, with the present set-up."""
    try:
        plan, context = begin_plan(state, run)
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
    inner, effects = list_step(SessionState(context, Progress(), moment, state.board), event)
    state = replace(state, kept=())
    kept, said = without_end(effects)
    return replace(state, inner=inner, awake=True, lead=said), kept


def _cannot_run(state: SectorState, run: ListRun, stamp: ev.Stamp, error: CalloutError) -> Stepped:
    turn = DeskTurn(state, stamp)
    turn.record(s.ListEnded(session_id=run.session_id, ending=Ending.STOPPED))
    turn.tell(sentences.cannot_run(error.message, error.hint).strip())
    turn.close_list()
    return turn.result()


def _close_list(state: SectorState, run: ListRun, inner: SessionState, stamp: ev.Stamp) -> Stepped:
    """Take over the results of the list that ended, and say what comes next."""
    done = inner.progress
    assert done.ending
    turn = DeskTurn(replace(state, moment=_moment_after(inner)), stamp)
    turn.record(
        s.ListEnded(
            session_id=run.session_id,
            ending=done.ending,
            open_items=len(done.unanswered),
            skipped=len(done.skipped),
            facts=known_facts(done),
            produced=produced_by(done),
            once=once_answered(done),
            quiet=done.quiet,
            pace=done.pace,
            sound=done.sound,
            basis=done.plan.basis,
            settled=() if run.sprung else settled_in(done),
            recital=recital_words(done),
        )
    )
    for given in done.given:
        turn.record(s.QuantityGiven(given=given))
    due = what_is_due(turn.context, turn.progress)
    turn.say(state.lead)
    turn.tell(due)
    turn.set(sentence=" ".join(part for part in (state.lead, due) if part))
    turn.close_list(lead="")
    if state.context.session.keeps_watch:
        turn.state = replace(turn.state, kept=kept_of(done))
    if not state.wanted:
        turn.state = replace(turn.state, wanted=by_lot(turn.context, turn.progress))
    return turn.result()


def _moment_after(inner: SessionState) -> Moment:
    """Return the moment between lists that follows one."""
    before = inner.moment
    return Moment(
        token=before.token,
        listening=before.listening,
        troubles=before.troubles,
        seen=before.seen,
    )


def _put_by(state: SectorState, run: ListRun, inner: SessionState, stamp: ev.Stamp) -> Stepped:
    turn = DeskTurn(replace(state, moment=_moment_after(inner)), stamp)
    facts, given = known_facts(inner.progress), inner.progress.given
    turn.record(s.ListSetAside(session_id=run.session_id, facts=facts, given=given))
    turn.note(sentences.list_paused(inner.progress.plan.title))
    turn.close_list()
    turn.state = replace(turn.state, aside={**state.aside, run.session_id: inner})
    return turn.result()


def _call_wanted(state: SectorState, stamp: ev.Stamp) -> Stepped:
    assert state.wanted
    list_id, utterance = state.wanted
    assert isinstance(utterance, Utterance)
    checklist = state.context.checklist(list_id)
    turn = DeskTurn(replace(state, wanted=None), stamp)
    if asks_memory(utterance.text, state.context):
        spring_memory_items(turn, utterance)
    elif checklist:
        call_list(turn, checklist, utterance)
    return turn.result()


def without_end(effects: tuple[e.Effect, ...]) -> tuple[tuple[e.Effect, ...], str]:
    """The end of a list is not the end of the flight: its last words are said with what comes
    next.
    """
    if not any(isinstance(effect, e.Finish) for effect in effects):
        return effects, ""
    said = " ".join(effect.text for effect in effects if isinstance(effect, e.Say))
    return tuple(x for x in effects if not isinstance(x, e.Finish | e.Say)), said
