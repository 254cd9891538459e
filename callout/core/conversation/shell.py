"""Handles the events common to all conversations: a checklist, a flight between lists, a drill.

The differences are in ``Own``: events of one kind only, and what words, keys and silence lead to.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from callout.core.conversation import events as ev
from callout.core.conversation import records as c
from callout.core.conversation import wording
from callout.core.conversation.effect_builder import ConversationTurn
from callout.core.conversation.moment import Moment
from callout.core.conversation.pacing import Pacing
from callout.core.model.commands import Command
from callout.core.model.utterance import Utterance, spoken_utterance, typed_utterance
from callout.core.sentences import aircraft
from callout.core.sentences import conversation as sentences

T = TypeVar("T", bound=ConversationTurn[Any])


@dataclass(frozen=True, slots=True)
class Own(Generic[T]):
    """What one kind of conversation adds."""

    take_event: Callable[[ev.Event, T], None]
    """Handle an event of this kind only."""
    take_words: Callable[[T, Utterance, float | None], None]
    """Handle words in reply to the current question, and the session time at which they began."""
    take_key: Callable[[T, str], None]
    """Handle a key pressed at the current screen."""
    remind: Callable[[T], None]
    """Give one reminder after silence."""
    failed: type[c.Failed] = c.Failed
    recovered: type[c.Recovered] = c.Recovered
    disturbed: type[c.Disturbed] = c.Disturbed
    suspended: type[c.Suspended] = c.Suspended
    broken_off: str = sentences.INTERRUPTED


def take_event(event: ev.Event, turn: T, own: Own[T]) -> None:
    """Apply ``event`` to ``turn``; an event that is out of place changes nothing."""
    match event:
        case ev.HeardReply() | ev.TypedReply():
            _take_reply(event, turn, own)
        case ev.KeyPressed(_, key, item_id):
            _take_key(turn, key, item_id, own)
        case ev.SpeechFinished() | ev.SpokeUp():
            _end_speech(event, turn)
        case ev.Ticked():
            _take_tick(turn, own)
        case ev.AdapterFailed() | ev.AdapterRecovered() | ev.SoundDisturbed():
            _take_device(event, turn, own)
        case ev.Interrupted():
            _break_off(turn, event.why, own)
        case _:
            own.take_event(event, turn)


def next_deadline(
    turn_moment: Moment, pacing: Pacing, pace: float, *, waiting: bool
) -> float | None:
    """Return the session time at which a Ticked event is due, or None while nothing is timed.

    waiting: a question is open, and silence gets a reminder. pace: speed of the voice.
    """
    rest = turn_moment.listen_due
    return rest if rest is not None else _silence_due(turn_moment, pacing, pace, waiting=waiting)


def toggled_command(command: Command, *, held: bool, quiet: bool) -> Command:
    """Return the command that a key gives when pressing it again undoes its first effect."""
    if command is Command.HOLD and held:
        return Command.CONTINUE
    return Command.READ_ALOUD if command is Command.QUIET and quiet else command


def _take_reply(event: ev.HeardReply | ev.TypedReply, turn: T, own: Own[T]) -> None:
    current = event.item_id == turn.target()
    match event:
        case ev.HeardReply(_, _, heard, started_at, seat) if current:
            own.take_words(turn, spoken_utterance(heard, seat), started_at)
        case ev.TypedReply(_, _, text) if current and text.strip():
            own.take_words(turn, typed_utterance(text), None)
        case ev.TypedReply(_, _, text) if text.strip():  # it must not answer the current question
            turn.note(wording.begun_before(text))


def _take_key(turn: T, key: str, item_id: str, own: Own[T]) -> None:
    if item_id and item_id != turn.target():
        turn.note(wording.PRESSED_BEFORE)
    else:
        own.take_key(turn, key)


def _end_speech(event: ev.SpeechFinished | ev.SpokeUp, turn: ConversationTurn[Any]) -> None:
    moment, pacing = turn.moment, turn.pacing
    if isinstance(event, ev.SpokeUp):
        turn.set(voice_at=turn.stamp.at)
        if pacing.barge_in:
            turn.cut()
        return
    if not moment.speaking or event.token != moment.token:
        return
    rests = event.spoken and pacing.tail_s > 0 and not pacing.barge_in
    due = turn.stamp.at + pacing.tail_s if rests else None
    turn.set(speaking=False, listen_due=due)
    turn.over()


def _take_tick(turn: T, own: Own[T]) -> None:
    now, due = turn.stamp.at, turn.moment.listen_due
    if due is not None:
        turn.set(listen_due=None if now >= due else due)
        return
    pace = turn.progress.pace
    silence = _silence_due(turn.moment, turn.pacing, pace, waiting=turn.waiting())
    if silence is not None and now >= silence:
        own.remind(turn)


def _silence_due(moment: Moment, pacing: Pacing, pace: float, *, waiting: bool) -> float | None:
    since = moment.silent_from
    if not waiting or moment.reminded or moment.speaking or since is None:
        return None
    return since + pacing.silence_s / pace if pacing.silence_s > 0 else None


def _take_device(
    event: ev.AdapterFailed | ev.AdapterRecovered | ev.SoundDisturbed, turn: T, own: Own[T]
) -> None:
    match event:
        case ev.AdapterFailed(_, part, message, hint):
            turn.record(own.failed(part=part, message=message, hint=hint))
            others = turn.moment.without_trouble(part)
            turn.set(troubles=(*others, (part, f"{message} {hint}".strip())))
            turn.say(_SAID.get(part, ""))
            turn.news(message, hint)
        case ev.AdapterRecovered(_, part):
            turn.record(own.recovered(part=part))
            turn.set(troubles=turn.moment.without_trouble(part))
            turn.news(sentences.device_back(_NAMES.get(part, part.capitalize())))
            turn.rearm()
        case ev.SoundDisturbed():
            _note_disturbance(turn, event, own)


def _note_disturbance(turn: T, event: ev.SoundDisturbed, own: Own[T]) -> None:
    """Record and show what degrades the sound; question, voice and listening stay unchanged."""
    found = event.notice
    turn.record(
        own.disturbed(
            what=found.what,
            count=found.count,
            message=found.message,
            measured=found.measured,
            told=found.told,
            over=found.over,
        )
    )
    part = found.what.value
    others = turn.moment.without_trouble(part)
    turn.set(troubles=others if found.over else (*others, (part, found.message)))
    if found.told:
        turn.news(found.message)


def _break_off(turn: T, why: str, own: Own[T]) -> None:
    turn.record(own.suspended(why=why))
    turn.cut()
    turn.news(own.broken_off)
    turn.finish()


_SAID = {"state": aircraft.STATE_LOST, "journal": sentences.JOURNAL_REWRITTEN}
"""Failures that are announced aloud; the others are noticed anyway."""
_NAMES = {
    "hearing": "The microphone",
    "voice": "The voice",
    "state": "The state of the aircraft",
}
