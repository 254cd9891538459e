"""Between lists: calls, points in the flight, facts and questions."""

from __future__ import annotations

from dataclasses import replace
from functools import singledispatch

from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation import shell
from callout.core.flight_run import records as s
from callout.core.flight_run import wording
from callout.core.flight_run.asking_which import ask_unsure
from callout.core.flight_run.calling import obey_control, take_words
from callout.core.flight_run.events import SectorStarted
from callout.core.flight_run.springing import by_lot
from callout.core.flight_run.state import SectorState
from callout.core.flight_run.turn import DeskTurn
from callout.core.model.utterance import ReplySource, Utterance, pressed_utterance
from callout.core.sentences import aircraft, conversation
from callout.core.sentences import flight as sentences
from callout.core.state.keeping_watch import drifted_items


def desk_step(state: SectorState, event: ev.Event) -> tuple[SectorState, tuple[e.Effect, ...]]:
    """Return the state after an event between lists, and its effects."""
    turn = DeskTurn(state, event.stamp)
    shell.take_event(event, turn, _DESK)
    return turn.result()


def _take_words(turn: DeskTurn, utterance: Utterance, began: float | None) -> None:
    """Handle words; uncertain talk between lists is the crew's own business."""
    if utterance.sure or utterance.source is ReplySource.KEYBOARD:
        take_words(turn, utterance)
    else:
        ask_unsure(turn, utterance)


def _take_key(turn: DeskTurn, key: str) -> None:
    command = turn.context.session.commands.of_key(key)
    if key != "enter" and command is not None:
        now = shell.toggled_command(command, held=False, quiet=turn.progress.quiet)
        obey_control(turn, now, pressed_utterance(key))


def _no_reminder(turn: DeskTurn) -> None:
    """Silence between lists gets no reminder."""


@singledispatch
def _take_event(event: ev.Event, turn: DeskTurn) -> None:
    """An event that is out of place here changes nothing."""


@_take_event.register
def _(event: SectorStarted, turn: DeskTurn) -> None:
    if turn.progress.sector_id:
        return
    turn.record(
        s.SectorBegan(
            sector_id=event.sector_id,
            mark=event.mark,
            title=event.title,
            lists=tuple(s.ListName(c.id, c.title) for c in turn.context.lists),
            first=event.first,
            received=event.received,
            about=event.about,
        )
    )
    received = sentences.taken_over(event.received) if event.received else ""
    trust = sentences.NOTHING_CARRIED_OVER if event.received else ""
    due = wording.what_is_due(turn.context, turn.progress)
    turn.news(f"{event.title}.")
    how = wording.how_to_begin(turn.context, turn.progress)
    said = tuple(filter(None, (received, trust, due, how)))
    for sentence in said:
        turn.tell(sentence)
    turn.set(sentence=" ".join(said))


@_take_event.register
def _(event: ev.StateReported, turn: DeskTurn) -> None:
    """Say once about each thing set in the previous list that it has been moved."""
    gone = drifted_items(turn.state.kept, turn.state.board, event.stamp.at)
    for one, shown in gone:
        turn.record(s.MovedSince(item_id=one.item_id, found=shown))
        turn.tell(aircraft.no_longer_so(one.challenge, shown))
    if gone:
        told = {one.item_id for one, _ in gone}
        kept = tuple(one for one in turn.state.kept if one.item_id not in told)
        turn.state = replace(turn.state, kept=kept)


@_take_event.register
def _(event: ev.ResumeAsked, turn: DeskTurn) -> None:
    if not turn.progress.sector_id or turn.progress.ended:
        return
    turn.record(s.SectorResumed(torn=event.torn))
    turn.news(conversation.resumed(turn.progress.title))
    if turn.progress.question:
        turn.tell(wording.question_words(turn.context, turn.progress))
    elif turn.progress.open_run is None:
        due = wording.what_is_due(turn.context, turn.progress)
        turn.tell(due)
        turn.tell(wording.how_to_begin(turn.context, turn.progress))
        turn.set(sentence=f"{due} {turn.moment.sentence}".strip())
        turn.state = replace(turn.state, wanted=by_lot(turn.context, turn.progress))
    turn.state = replace(turn.state, awake=False)


_DESK: shell.Own[DeskTurn] = shell.Own(
    _take_event,
    _take_words,
    _take_key,
    _no_reminder,
    failed=s.SectorFailed,
    recovered=s.SectorRecovered,
    disturbed=s.SectorDisturbed,
    suspended=s.SectorSuspended,
)
