"""A drill: ``step(state, event)`` gives the next state and what to do about it."""

from __future__ import annotations

from functools import singledispatch

from callout.core.conversation import events as ev
from callout.core.conversation import shell
from callout.core.conversation.effects import Effect
from callout.core.conversation.moment import Moment
from callout.core.drill import records as d
from callout.core.drill.answering import take_utterance
from callout.core.drill.controlling import take_command
from callout.core.drill.events import DrillStarted
from callout.core.drill.putting import begin_drill
from callout.core.drill.state import DrillState
from callout.core.drill.turn import DrillTurn, drill_target, is_waiting
from callout.core.model.commands import Command, Found
from callout.core.model.utterance import pressed_utterance
from callout.core.sentences import drill as sentences


def drill_step(state: DrillState, event: ev.Event) -> tuple[DrillState, tuple[Effect, ...]]:
    """Return the state after ``event`` and its effects; never raises, whatever the order of
    events.
    """
    progress = state.progress
    running = bool(progress.drill_id) and not progress.over and not progress.suspended
    opening = isinstance(event, DrillStarted) and not progress.drill_id
    if not (opening or running):
        return state, ()
    turn = DrillTurn(state, event.stamp)
    shell.take_event(event, turn, _DRILL)
    return turn.result()


def drill_deadline(state: DrillState) -> float | None:
    """Return the session time at which a Ticked event is due, or None while nothing is timed."""
    waiting = is_waiting(state.progress)
    pacing, pace = state.context.pacing, state.progress.pace
    return shell.next_deadline(state.moment, pacing, pace, waiting=waiting)


def asked_id(state: DrillState) -> str:
    """Return the id of what is asked for."""
    return drill_target(state.progress)


def moment_of(state: DrillState) -> Moment:
    """Return the passing moment."""
    return state.moment


def _remind_person(turn: DrillTurn) -> None:
    take_command(turn, Found(Command.SAY_AGAIN), None)
    turn.set(reminded=True)


def _take_key(turn: DrillTurn, key: str) -> None:
    command = turn.context.commands.of_key(key)
    if command is not None:
        held, quiet = turn.progress.held, turn.progress.quiet
        take_command(
            turn,
            Found(shell.toggled_command(command, held=held, quiet=quiet)),
            pressed_utterance(key),
        )


@singledispatch
def _take_event(event: ev.Event, turn: DrillTurn) -> None:
    """An event that is out of place here changes nothing."""


@_take_event.register
def _(event: DrillStarted, turn: DrillTurn) -> None:
    if turn.progress.drill_id:
        return
    turn.record(
        d.DrillBegan(
            drill_id=event.drill_id,
            exercises=event.exercises,
            minutes=event.minutes,
            about=event.about,
            quiet=event.quiet,
            lots=event.lots,
        )
    )
    begin_drill(turn)


_DRILL: shell.Own[DrillTurn] = shell.Own(
    _take_event,
    take_utterance,
    _take_key,
    _remind_person,
    broken_off=sentences.INTERRUPTED,
)
