"""Between lists: calls, moments, facts and questions."""

from __future__ import annotations

from functools import singledispatch

from callout.core import effects as e
from callout.core import events as ev
from callout.core.breath import silence_after
from callout.core.commands import Command
from callout.core.disturbing import aloud, disturb, heard_again
from callout.core.sector import records as s
from callout.core.sector import wording
from callout.core.sector.calling import Changes, control, words
from callout.core.sector.state import SectorState
from callout.core.sector.turn import DeskTurn, desk_target
from callout.core.utterance import pressed, spoken, typed
from callout.core.wording import PRESSED_BEFORE, begun_before


def step(state: SectorState, event: ev.Event) -> tuple[SectorState, tuple[e.Effect, ...]]:
    """Return the state after an event between lists, and its effects."""
    turn = DeskTurn(state, event.stamp)
    changes = _take(event, turn)
    return turn.result(**(changes or {}))


@singledispatch
def _take(event: ev.Event, turn: DeskTurn) -> Changes | None:
    """An event that is out of place here changes nothing."""


@_take.register
def _(event: ev.SectorStarted, turn: DeskTurn) -> Changes | None:
    if turn.progress.sector_id:
        return None
    turn.record(
        s.SectorBegan,
        sector_id=event.sector_id,
        mark=event.mark,
        title=event.title,
        lists=tuple(s.ListName(c.id, c.title) for c in turn.context.lists),
        first=event.first,
        received=event.received,
        about=event.about,
    )
    received = f"Taken over: {event.received}." if event.received else ""
    trust = "Nothing counts as done by the crew before." if event.received else ""
    due = wording.what_is_due(turn.context, turn.progress)
    turn.news(f"{event.title}.")
    how = wording.how_to_begin(turn.context, turn.progress)
    said = tuple(filter(None, (received, trust, due, how)))
    for sentence in said:
        turn.tell(sentence)
    turn.set(sentence=" ".join(said))
    return None


@_take.register
def _(event: ev.Resumed, turn: DeskTurn) -> Changes | None:
    if not turn.progress.sector_id or turn.progress.ended:
        return None
    turn.record(s.SectorResumed, torn=event.torn)
    turn.news(f"{turn.progress.title}, resumed.")
    if turn.progress.question:
        turn.tell(wording.question_words(turn.context, turn.progress))
    elif turn.progress.open_run is None:
        due = wording.what_is_due(turn.context, turn.progress)
        turn.tell(due)
        turn.tell(wording.how_to_begin(turn.context, turn.progress))
        turn.set(sentence=f"{due} {turn.moment.sentence}".strip())
    return {"awake": False}


@_take.register
def _(event: ev.HeardReply, turn: DeskTurn) -> Changes | None:
    if event.item_id != desk_target(turn.progress) or not event.heard.sure:
        return None  # talk between lists is the crew's own business
    return words(turn, spoken(event.heard, event.seat))


@_take.register
def _(event: ev.TypedReply, turn: DeskTurn) -> Changes | None:
    if not event.text.strip():
        return None
    if event.item_id != desk_target(turn.progress):  # begun for something else: never lost unseen
        turn.note(begun_before(event.text))
        return None
    return words(turn, typed(event.text))


@_take.register
def _(event: ev.KeyPressed, turn: DeskTurn) -> Changes | None:
    if event.item_id and event.item_id != desk_target(turn.progress):
        turn.note(PRESSED_BEFORE)
        return None
    table = turn.context.session.commands
    command = table.of_key(event.key)
    if event.key == "enter" or command is None:
        return None
    if command is Command.QUIET and turn.progress.quiet:
        command = Command.READ_ALOUD
    return control(turn, command, pressed(event.key))


@_take.register
def _(event: ev.SpokeUp, turn: DeskTurn) -> Changes | None:
    if turn.context.session.pacing.barge_in:
        turn.cut()
    return None


@_take.register
def _(event: ev.SpeechFinished, turn: DeskTurn) -> Changes | None:
    if turn.moment.speaking and event.token == turn.moment.token:
        pacing = turn.context.session.pacing
        turn.set(**silence_after(pacing, turn.stamp.at, spoken=event.spoken))
    return None


@_take.register
def _(event: ev.Ticked, turn: DeskTurn) -> Changes | None:
    due = turn.moment.listen_due
    if due is not None and turn.stamp.at >= due:
        turn.set(listen_due=None)
    return None


@_take.register
def _(event: ev.AdapterFailed, turn: DeskTurn) -> Changes | None:
    turn.record(s.SectorFailed, part=event.part, message=event.message, hint=event.hint)
    others = tuple(t for t in turn.moment.troubles if t[0] != event.part)
    turn.set(troubles=(*others, (event.part, f"{event.message} {event.hint}".strip())))
    turn.say(aloud(event))
    turn.news(event.message, event.hint)
    return None


@_take.register
def _(event: ev.AdapterRecovered, turn: DeskTurn) -> Changes | None:
    turn.record(s.SectorRecovered, part=event.part)
    heard_again(turn, event.part)
    return None


@_take.register
def _(event: ev.SoundDisturbed, turn: DeskTurn) -> Changes | None:
    disturb(turn, event, s.SectorDisturbed)
    return None


@_take.register
def _(event: ev.Interrupted, turn: DeskTurn) -> Changes | None:
    turn.record(s.SectorSuspended, why=event.why)
    turn.cut()
    turn.news("Broken off.")
    turn.finish()
    return None
