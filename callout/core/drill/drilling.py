"""A drill: ``step(state, event)`` gives the next state and what to do about it."""

from __future__ import annotations

from functools import singledispatch

from callout.core import events as ev
from callout.core import wording
from callout.core.breath import silence_after
from callout.core.commands import Command, Found
from callout.core.disturbing import aloud, disturb, heard_again
from callout.core.drill import records as d
from callout.core.drill.answering import take
from callout.core.drill.controlling import take_command
from callout.core.drill.putting import begin
from callout.core.drill.state import DrillState
from callout.core.drill.turn import DrillTurn, drill_target
from callout.core.effects import Effect
from callout.core.state import Moment
from callout.core.utterance import pressed, spoken, typed

_TOGGLES = {Command.HOLD: Command.CONTINUE, Command.QUIET: Command.READ_ALOUD}


def step(state: DrillState, event: ev.Event) -> tuple[DrillState, tuple[Effect, ...]]:
    """Return the state after ``event`` and its effects; never raises on any order of events."""
    progress = state.progress
    running = bool(progress.drill_id) and not progress.over and not progress.suspended
    opening = isinstance(event, ev.DrillStarted) and not progress.drill_id
    if not (opening or running):
        return state, ()
    turn = DrillTurn(state, event.stamp)
    _take(event, turn)
    return turn.result()


def deadline(state: DrillState) -> float | None:
    """Return the session time at which a Ticked event is due, or None while nothing is timed."""
    rest = state.moment.listen_due
    return rest if rest is not None else _silence_due(state)


def target(state: DrillState) -> str:
    """Return the id of what is asked for."""
    return drill_target(state.progress)


def moment_of(state: DrillState) -> Moment:
    """Return the passing moment."""
    return state.moment


@singledispatch
def _take(event: ev.Event, turn: DrillTurn) -> None:
    """An event that is out of place here changes nothing."""


@_take.register
def _(event: ev.DrillStarted, turn: DrillTurn) -> None:
    if turn.progress.drill_id:
        return
    turn.record(
        d.DrillBegan,
        drill_id=event.drill_id,
        exercises=event.exercises,
        minutes=event.minutes,
        about=event.about,
        quiet=event.quiet,
    )
    begin(turn)


@_take.register
def _(event: ev.HeardReply, turn: DrillTurn) -> None:
    if event.item_id == drill_target(turn.progress):
        take(turn, spoken(event.heard, event.seat), event.started_at)


@_take.register
def _(event: ev.TypedReply, turn: DrillTurn) -> None:
    if not event.text.strip():
        return
    if event.item_id == drill_target(turn.progress):
        take(turn, typed(event.text), None)
    else:
        turn.note(wording.begun_before(event.text))


@_take.register
def _(event: ev.KeyPressed, turn: DrillTurn) -> None:
    if event.item_id and event.item_id != drill_target(turn.progress):
        turn.note(wording.PRESSED_BEFORE)
        return
    command = turn.context.commands.of_key(event.key)
    if command is None:
        return
    undone = turn.progress.held if command is Command.HOLD else turn.progress.quiet
    if command in _TOGGLES and undone:
        command = _TOGGLES[command]
    take_command(turn, Found(command), pressed(event.key))


@_take.register
def _(event: ev.SpeechFinished, turn: DrillTurn) -> None:
    if turn.moment.speaking and event.token == turn.moment.token:
        turn.set(**silence_after(turn.context.pacing, turn.stamp.at, spoken=event.spoken))


@_take.register
def _(event: ev.SpokeUp, turn: DrillTurn) -> None:
    if turn.context.pacing.barge_in:
        turn.cut()


@_take.register
def _(event: ev.Ticked, turn: DrillTurn) -> None:
    due = turn.moment.listen_due
    if due is not None:
        turn.set(listen_due=None if turn.stamp.at >= due else due)
        return
    silence = _silence_due(DrillState(turn.context, turn.progress, turn.moment))
    if silence is not None and turn.stamp.at >= silence:
        take_command(turn, Found(Command.SAY_AGAIN), None)
        turn.set(reminded=True)


@_take.register
def _(event: ev.AdapterFailed, turn: DrillTurn) -> None:
    turn.record(d.DrillFailed, part=event.part, message=event.message, hint=event.hint)
    others = tuple(t for t in turn.moment.troubles if t[0] != event.part)
    turn.set(troubles=(*others, (event.part, f"{event.message} {event.hint}".strip())))
    turn.say(aloud(event))
    turn.news(event.message, event.hint)


@_take.register
def _(event: ev.AdapterRecovered, turn: DrillTurn) -> None:
    turn.record(d.DrillRecovered, part=event.part)
    heard_again(turn, event.part)


@_take.register
def _(event: ev.SoundDisturbed, turn: DrillTurn) -> None:
    disturb(turn, event)


@_take.register
def _(event: ev.Interrupted, turn: DrillTurn) -> None:
    turn.record(d.DrillSuspended, why=event.why)
    turn.cut()
    turn.news("Broken off. What was answered counts.")
    turn.finish()


def _silence_due(state: DrillState) -> float | None:
    moment, progress = state.moment, state.progress
    waiting = progress.exercise is not None and not progress.held and not moment.reminded
    limit = state.context.pacing.silence_s
    if not waiting or moment.speaking or moment.asked_at is None or limit <= 0:
        return None
    return moment.asked_at + limit / progress.pace
