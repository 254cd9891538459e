"""The session: ``step(state, event)`` gives the next state and what to do about it."""

from __future__ import annotations

from dataclasses import replace
from functools import singledispatch

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import repeat_asked
from callout.core.checklist_run.branch_paths import undecided_questions
from callout.core.checklist_run.causes import Choice, Question, Why
from callout.core.checklist_run.controls import obey_command, take_up
from callout.core.checklist_run.fact_dialogue import (
    catch_up,
    change_plan,
    drop_inapplicable,
    set_off,
)
from callout.core.checklist_run.flows import hands_moved
from callout.core.checklist_run.questions import decide_question, question_unanswered
from callout.core.checklist_run.replying import take_utterance
from callout.core.checklist_run.said_and_set import settled_in_silence, silence_will_do, take_back
from callout.core.checklist_run.state import SessionState
from callout.core.checklist_run.turn import Turn, is_waiting
from callout.core.conversation import events as ev
from callout.core.conversation import records as c
from callout.core.conversation import shell
from callout.core.conversation.effects import Effect
from callout.core.model.commands import Found
from callout.core.model.counting import counted_noun
from callout.core.model.utterance import pressed_utterance
from callout.core.sentences import checklist as sentences
from callout.core.sentences import conversation

_ENTER = {Question.FLOW: Choice.DONE, Question.STOP: Choice.YES}


Stepped = tuple[SessionState, tuple[Effect, ...]]


def list_step(state: SessionState, event: ev.Event) -> Stepped:
    """Return the state after ``event`` and its effects; never raises, whatever the order of events.

    Records come first among the effects: they must be on disk before the rest happens.
    """
    running = bool(state.progress.session_id) and not state.progress.ending
    opening = isinstance(event, ev.Started) and not state.progress.session_id
    waking = isinstance(event, ev.ResumeAsked) and running
    if not (opening or waking or (running and not state.progress.suspended)):
        return state, ()
    if isinstance(event, ev.StateReported):
        return _reported(state, event)
    turn = Turn(state, event.stamp)
    shell.take_event(event, turn, _LIST)
    return turn.result()


def _reported(state: SessionState, event: ev.StateReported) -> Stepped:
    """Handle a report of the aircraft's state; most reports need no action."""
    told = replace(state, board=event.board)
    turn = Turn(told, event.stamp)
    if turn.progress.question is Question.FLOW and event.moves:
        hands_moved(turn, event.moves)
        return turn.result()
    if state.context.keeps_watch and event.moves and not turn.progress.held and take_back(turn):
        return turn.result()
    if silence_will_do(turn):
        settled_in_silence(turn)
        return turn.result()
    return told, ()


def list_deadline(state: SessionState) -> float | None:
    """Return the session time at which a Ticked event is due, or None while nothing is timed."""
    waiting = is_waiting(state.progress)
    pacing, pace = state.context.pacing, state.progress.pace
    return shell.next_deadline(state.moment, pacing, pace, waiting=waiting)


def _remind_person(turn: Turn) -> None:
    if turn.progress.question:
        question_unanswered(turn)
    elif not settled_in_silence(turn):
        repeat_asked(turn, Why.SILENCE)


def _take_key(turn: Turn, key: str) -> None:
    question = turn.progress.question
    if key == "enter" and question in _ENTER:
        turn.cut()
        decide_question(turn, _ENTER[question], pressed_utterance(key))
        return
    command = turn.context.commands.of_key(key)
    if command is None:
        return
    held, quiet = turn.progress.held, turn.progress.quiet
    obey_command(
        turn, Found(shell.toggled_command(command, held=held, quiet=quiet)), pressed_utterance(key)
    )


@singledispatch
def _take_event(event: ev.Event, turn: Turn) -> None:
    """An event that is out of place here changes nothing."""


@_take_event.register
def _(event: ev.Started, turn: Turn) -> None:
    if turn.progress.session_id:
        return
    plan = event.plan
    turn.record(
        r.Began(
            session_id=event.session_id,
            plan=plan,
            about=event.about,
            quiet=event.quiet,
            pace=event.pace,
            challenger=turn.context.pacing.challenger,
        )
    )
    dropped = sum(not item.applicable for item in plan.items)
    turn.news(sentences.list_opening(plan.title, counted_noun(len(plan.items), "item"), dropped))
    drop_inapplicable(turn)
    cautions = tuple(f"Caution: {text}" for text in plan.cautions)
    turn.news(*cautions)
    set_off(turn, f"{plan.title}.", *cautions)


@_take_event.register
def _(event: ev.ResumeAsked, turn: Turn) -> None:
    turn.record(c.Resumed(torn=event.torn))
    turn.news(conversation.resumed(turn.progress.plan.title))
    changed = catch_up(turn, event.facts, event.given)
    for item_id in undecided_questions(turn.progress):
        turn.record(r.Reopened(item_id=item_id, because="a break came before it led on"))
    drop_inapplicable(turn)
    if turn.progress.held:
        turn.tell(" ".join(filter(None, (changed, wording.holding_at(turn.progress)))))
    else:
        take_up(turn, changed)


@_take_event.register
def _(event: ev.FlightChanged, turn: Turn) -> None:
    change_plan(turn, turn.progress, event.plan, event.words)


@_take_event.register
def _(event: ev.SetAside, turn: Turn) -> None:
    turn.record(c.Suspended(why=event.why))
    turn.cut()
    turn.news(sentences.list_paused(turn.progress.plan.title, event.why))


_LIST: shell.Own[Turn] = shell.Own(_take_event, take_utterance, _take_key, _remind_person)
