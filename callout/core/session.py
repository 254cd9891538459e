"""The session: ``step(state, event)`` gives the next state and what to do about it."""

from __future__ import annotations

from functools import singledispatch

from callout.core import events as ev
from callout.core import journal_records as r
from callout.core import wording
from callout.core.arming import target_of
from callout.core.asking import repeat
from callout.core.breath import silence_after
from callout.core.causes import Choice, Question, Why
from callout.core.commands import Command, Found
from callout.core.controls import obey, take_up
from callout.core.disturbing import aloud, disturb, heard_again
from callout.core.effects import Effect
from callout.core.questions import decide, unanswered
from callout.core.replying import take
from callout.core.setting_up import change_plan, drop, set_off
from callout.core.state import State
from callout.core.turn import Turn
from callout.core.utterance import pressed, spoken, typed

_TOGGLES = {Command.HOLD: Command.CONTINUE, Command.QUIET: Command.READ_ALOUD}
_ENTER = {Question.FLOW: Choice.DONE, Question.STOP: Choice.YES}


def step(state: State, event: ev.Event) -> tuple[State, tuple[Effect, ...]]:
    """Return the state after ``event`` and its effects; never raises on any order of events.

    Records come first among the effects: they must be on the disk before the rest is done.
    """
    running = bool(state.progress.session_id) and not state.progress.ending
    opening = isinstance(event, ev.Started) and not state.progress.session_id
    waking = isinstance(event, ev.Resumed) and running
    if not (opening or waking or (running and not state.progress.suspended)):
        return state, ()
    turn = Turn(state, event.stamp)
    _take(event, turn)
    return turn.result()


def deadline(state: State) -> float | None:
    """Return the session time at which a Ticked event is due, or None while nothing is timed."""
    rest = state.moment.listen_due
    return rest if rest is not None else _silence_due(state)


@singledispatch
def _take(event: ev.Event, turn: Turn) -> None:
    """An event that is out of place here changes nothing."""


@_take.register
def _(event: ev.Started, turn: Turn) -> None:
    if turn.progress.session_id:
        return
    plan = event.plan
    turn.record(
        r.Began,
        session_id=event.session_id,
        plan=plan,
        about=event.about,
        quiet=event.quiet,
        pace=event.pace,
        challenger=turn.context.pacing.challenger,
    )
    dropped = sum(not item.applicable for item in plan.items)
    count = wording.counted(len(plan.items), "item")
    turn.news(f"{plan.title}: {count}, {dropped} not applicable.")
    drop(turn)
    cautions = tuple(f"Caution: {text}" for text in plan.cautions)
    turn.news(*cautions)
    set_off(turn, f"{plan.title}.", *cautions)


@_take.register
def _(event: ev.Resumed, turn: Turn) -> None:
    turn.record(r.Resumed, torn=event.torn)
    turn.news(f"{turn.progress.plan.title}, resumed.")
    drop(turn)
    if turn.progress.held:
        turn.tell(wording.holding_at(turn.progress))
    else:
        take_up(turn)


@_take.register
def _(event: ev.HeardReply, turn: Turn) -> None:
    if event.item_id == target_of(turn.progress):
        take(turn, spoken(event.heard, event.seat), event.started_at)


@_take.register
def _(event: ev.TypedReply, turn: Turn) -> None:
    if not event.text.strip():
        return
    if event.item_id == target_of(turn.progress):
        take(turn, typed(event.text), None)
    else:  # begun for another item: it must not answer this one
        turn.note(wording.begun_before(event.text))


@_take.register
def _(event: ev.KeyPressed, turn: Turn) -> None:
    question = turn.progress.question
    if event.item_id and event.item_id != target_of(turn.progress):
        turn.note(wording.PRESSED_BEFORE)
        return
    if event.key == "enter" and question in _ENTER:
        turn.cut()
        decide(turn, _ENTER[question], pressed(event.key))
        return
    command = turn.context.commands.of_key(event.key)
    if command is None:
        return
    undone = turn.progress.held if command is Command.HOLD else turn.progress.quiet
    if command in _TOGGLES and undone:
        command = _TOGGLES[command]
    obey(turn, Found(command), pressed(event.key))


@_take.register
def _(event: ev.SpeechFinished, turn: Turn) -> None:
    if not turn.moment.speaking or event.token != turn.moment.token:
        return
    pacing = turn.context.pacing
    turn.set(**silence_after(pacing, turn.stamp.at, spoken=event.spoken))


@_take.register
def _(event: ev.SpokeUp, turn: Turn) -> None:
    if turn.context.pacing.barge_in:
        turn.cut()


@_take.register
def _(event: ev.Ticked, turn: Turn) -> None:
    due = turn.moment.listen_due
    if due is not None:
        turn.set(listen_due=None if turn.stamp.at >= due else due)
        return
    silence = _silence_due(State(turn.context, turn.progress, turn.moment))
    if silence is None or turn.stamp.at < silence:
        return
    if turn.progress.question:
        unanswered(turn)
    else:
        repeat(turn, Why.SILENCE)


@_take.register
def _(event: ev.AdapterFailed, turn: Turn) -> None:
    turn.record(r.Failed, part=event.part, message=event.message, hint=event.hint)
    others = tuple(t for t in turn.moment.troubles if t[0] != event.part)
    turn.set(troubles=(*others, (event.part, f"{event.message} {event.hint}".strip())))
    turn.say(aloud(event))
    turn.news(event.message, event.hint)


@_take.register
def _(event: ev.AdapterRecovered, turn: Turn) -> None:
    turn.record(r.Recovered, part=event.part)
    heard_again(turn, event.part)


@_take.register
def _(event: ev.SoundDisturbed, turn: Turn) -> None:
    disturb(turn, event)


@_take.register
def _(event: ev.FlightChanged, turn: Turn) -> None:
    change_plan(turn, event.plan, event.words)


@_take.register
def _(event: ev.Interrupted, turn: Turn) -> None:
    turn.record(r.Suspended, why=event.why)
    turn.cut()
    turn.news("Broken off.")
    turn.finish()


@_take.register
def _(event: ev.SetAside, turn: Turn) -> None:
    turn.record(r.Suspended, why=event.why)
    turn.cut()
    turn.news(f"{turn.progress.plan.title} set aside: {event.why}.")


def _silence_due(state: State) -> float | None:
    moment, progress = state.moment, state.progress
    asked = target_of(progress) and not progress.awaiting
    waiting = asked and not progress.held and not moment.reminded
    limit = state.context.pacing.silence_s
    if not waiting or moment.speaking or moment.asked_at is None or limit <= 0:
        return None
    return moment.asked_at + limit / progress.pace
