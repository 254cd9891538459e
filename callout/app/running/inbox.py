"""Turns adapters' reports into events on one queue; safe to call from any thread."""

from __future__ import annotations

import itertools
import queue
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from callout.core.conversation import events as ev
from callout.core.conversation.sound import SoundNotice
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard
from callout.core.state.board import Board, Move
from callout.ports.clock import Clock

if TYPE_CHECKING:
    from callout.ports.hearing import Samples


@dataclass(frozen=True, slots=True)
class Typing:
    """The line typed so far, for the screen."""

    text: str


@dataclass(frozen=True, slots=True)
class Resized:
    """The size of the terminal has changed."""


@dataclass(frozen=True, slots=True)
class InputEnded:
    """Nothing more will be typed."""


@dataclass(frozen=True, slots=True)
class EarsGone:
    """Listening has ended or was interrupted."""

    failure: ev.AdapterFailed


Message = ev.Event | Typing | Resized | InputEnded | EarsGone


class Inbox:
    """Stamps reports and queues them.

    offset: session time at which this run begins (0, or that of the last record resumed from).
    keeps_sound: the sound of replies is wanted.
    """

    def __init__(self, clock: Clock, offset: float, *, keeps_sound: bool = False) -> None:
        self._clock = clock
        self._queue: queue.SimpleQueue[Message] = queue.SimpleQueue()
        self._numbers = itertools.count(1)
        self._origin = clock.now() - offset
        self._keeps_sound = keeps_sound
        self._sounds: dict[int, Samples] = {}
        """Of utterances that are still queued, by the number of their stamp."""

    def stamp(self) -> ev.Stamp:
        """Return the stamp of an event that happens now."""
        now = self._clock.now() - self._origin
        return ev.Stamp(next(self._numbers), now, self._clock.utc())

    def on_heard(
        self,
        item_id: str,
        heard: Heard,
        started_at: float | None = None,
        seat: Role | None = None,
        sound: Samples | None = None,
    ) -> None:
        """Queue an utterance from the listener; its sound waits for it, if it is to be kept."""
        began = None if started_at is None else started_at - self._origin
        stamp = self.stamp()
        if self._keeps_sound and sound is not None:
            self._sounds[stamp.seq] = sound
        self._queue.put(ev.HeardReply(stamp, item_id, heard, began, seat))

    def on_speech(self) -> None:
        """Queue the news that a person has begun to speak."""
        self._queue.put(ev.SpokeUp(self.stamp()))

    def on_disturbed(self, notice: SoundNotice) -> None:
        """Queue the news that the sound is degraded, or good again."""
        self._queue.put(ev.SoundDisturbed(self.stamp(), notice))

    def on_failure(self, message: str, hint: str = "") -> None:
        """Queue the news that listening has ended or was interrupted."""
        self._queue.put(EarsGone(ev.AdapterFailed(self.stamp(), "hearing", message, hint)))

    def on_recovery(self) -> None:
        """Queue the news that listening works again."""
        self._queue.put(ev.AdapterRecovered(self.stamp(), "hearing"))

    def on_line(self, item_id: str, text: str) -> None:
        """Queue a typed line."""
        self._queue.put(ev.TypedReply(self.stamp(), item_id, text))

    def on_key(self, key: str, item_id: str = "") -> None:
        """Queue a single key."""
        self._queue.put(ev.KeyPressed(self.stamp(), key, item_id))

    def on_typing(self, text: str) -> None:
        """Queue the line typed so far, for the screen."""
        self._queue.put(Typing(text))

    def on_input_ended(self) -> None:
        """Queue the news that nothing more will be typed."""
        self._queue.put(InputEnded())

    def on_interrupt(self, why: str = "keyboard") -> None:
        """Queue the request to end now; safe from a signal handler."""
        self._queue.put(ev.Interrupted(self.stamp(), why))

    def on_resize(self) -> None:
        """Queue the news that the terminal's size has changed; safe from a signal handler."""
        self._queue.put(Resized())

    def on_state(self, board: Board, moves: tuple[Move, ...]) -> None:
        """Queue a report of the aircraft's state; its times are those of the clock."""
        began = self._origin
        as_of = None if board.as_of is None or board.still else board.as_of - began
        told = board if as_of is None else replace(board, as_of=as_of)
        moved = tuple(replace(move, at=move.at - began) for move in moves)
        self._queue.put(ev.StateReported(self.stamp(), told, moved))

    def on_state_lost(self, message: str, hint: str = "") -> None:
        """Queue the news that the aircraft has stopped reporting."""
        self._queue.put(ev.AdapterFailed(self.stamp(), "state", message, hint))

    def on_state_back(self) -> None:
        """Queue the news that the aircraft reports again."""
        self._queue.put(ev.AdapterRecovered(self.stamp(), "state"))

    def on_spoken(self, token: int, spoken: bool) -> None:
        """Queue the news that the voice has finished."""
        self._queue.put(ev.SpeechFinished(self.stamp(), token, spoken))

    def on_voice_failure(self, message: str, hint: str) -> None:
        """Queue the news that the voice has failed."""
        self._queue.put(ev.AdapterFailed(self.stamp(), "voice", message, hint))
