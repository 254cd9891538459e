"""Runs a session: one queue and one thread that takes from it; everything else only adds to it."""

from __future__ import annotations

import queue
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, Generic, Protocol, TypeVar

from callout.app.running.inbox import EarsGone, Inbox, InputEnded, Message, Resized, Typing
from callout.app.running.machines import Machine
from callout.app.running.session_parts import Parts
from callout.app.shared.quick_start import end_quick_start
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.records import JournalRecord
from callout.core.conversation.spoken_records import spoken_number
from callout.core.model.verdict import Verdict
from callout.core.sentences import session as sentences
from callout.ports.journal import JournalUnwritable

if TYPE_CHECKING:
    from callout.ports.hearing import Samples

RETRY_S = 2.0
"""Pause after a record could not be stored, before time alone triggers another attempt."""
LAST_WORDS_S = 8.0
"""Maximum time for the completion call after the session's end."""


S = TypeVar("S")


class _Closing(Protocol):
    def close(self) -> None: ...


class Runner(Inbox, Generic[S]):
    """Turns what adapters report into events, and effects into calls on adapters.

    offset: session time at which this run begins (0, or that of the last record resumed from).
    """

    def __init__(
        self, state: S, parts: Parts, machine: Machine[S], *, safety: str, offset: float = 0.0
    ) -> None:
        super().__init__(parts.clock, offset, keeps_sound=bool(parts.sounds.said))
        self.state = state
        self._machine = machine
        self._parts = parts
        self._safety = safety
        self._retry_at = 0.0
        self._typing_ended = False
        self._tones_gone = False
        self._saying = 0
        self._ears = bool(parts.listener.name)
        self._summary: Any = None

    def run(self, first: Callable[[ev.Stamp], ev.Event]) -> Any:
        """Run from ``first`` to the end; raises JournalUnwritable if nothing can be stored at
        all.
        """
        parts = self._parts
        try:
            self._begin(first(self.stamp()))
            while self._summary is None:
                self._invite()
                self._take(self._next())
            parts.speech.finish(LAST_WORDS_S)
        finally:
            for part in self._closing():
                part.close()
        parts.view.finish(self._summary, parts.journal.where, self._safety)
        return self._summary

    def _begin(self, first: ev.Event) -> None:
        parts = self._parts
        state, effects = self._machine.step(self.state, first)
        parts.journal.append(_records_among(effects))
        parts.view.open(f"{self._safety} {parts.sounds.said}".rstrip())
        parts.speech.start(self)
        parts.state.start(self)
        parts.keys.start(self)
        parts.listener.start(self)
        self.state = state
        self._perform(effects)
        end_quick_start()

    def _invite(self) -> None:
        moment = self._machine.moment(self.state)
        idle = not moment.speaking and moment.listen_due is None and self._queue.empty()
        target = self._machine.target(self.state)
        if target and not self._machine.eager(self.state):
            self._parts.keys.ask(target, idle=idle)

    def _next(self) -> Message:
        now = self._parts.clock.now() - self._origin
        if self._machine.eager(self.state) and now >= self._retry_at:
            return ev.Ticked(self.stamp())
        due = 0.0 if self._machine.eager(self.state) else self._machine.deadline(self.state)
        if due is None:
            return self._queue.get()
        wait = max(due, self._retry_at) - now
        try:
            return self._queue.get(timeout=wait) if wait > 0 else self._queue.get_nowait()
        except queue.Empty:
            return ev.Ticked(self.stamp())

    def _take(self, message: Message) -> None:
        match message:
            case Typing(text):
                self._parts.view.typing(text)
            case Resized():
                self._parts.view.redraw()
            case InputEnded():
                self._typing_ended = True
                self._end_if_cut_off()
            case EarsGone(failure):
                self._ears = False
                self._step(failure)
                self._end_if_cut_off()
            case ev.Event():
                back = isinstance(message, ev.AdapterRecovered)
                self._ears |= back and getattr(message, "part", "") == "hearing"
                self._step(message)
        if isinstance(message, ev.SpeechFinished) and message.token == self._saying:
            self._parts.listener.tool_speaks(False)
        if isinstance(message, ev.TypedReply | ev.KeyPressed):
            self._parts.keys.taken()
        if isinstance(message, ev.HeardReply):
            self._parts.listener.taken()

    def _end_if_cut_off(self) -> None:
        """End if neither ears nor keyboard are left; the session can be resumed."""
        if self._typing_ended and not self._ears and self._summary is None:
            self._step(ev.Interrupted(self.stamp(), "input-ended"))

    def _step(self, event: ev.Event) -> None:
        state, effects = self._machine.step(self.state, event)
        records, sound = _records_among(effects), self._sounds.pop(event.stamp.seq, None)
        try:
            self._parts.journal.append(records)
        except JournalUnwritable as error:
            self._not_kept(event, error)
            return
        self._tell_of_journal()
        self.state = state
        self._perform(effects)
        if sound is not None:
            self._keep_sound(records, sound)

    def _keep_sound(self, records: Sequence[JournalRecord], sound: Samples) -> None:
        """Keep what was heard beside the record of it; talk without a record is not kept."""
        parts, number = self._parts, spoken_number(records)
        said = parts.sounds.keep(parts.journal.latest, number, sound) if number else ""
        if said and self._summary is None:
            self._queue.put(ev.AdapterFailed(self.stamp(), "recording", said))
        elif said:
            parts.view.notice(said)

    def _tell_of_journal(self) -> None:
        said = self._parts.journal.news()
        if said:
            self._queue.put(ev.AdapterFailed(self.stamp(), "journal", said))

    def _not_kept(self, event: ev.Event, error: JournalUnwritable) -> None:
        """Stay where the journal is: what was not stored has not happened."""
        self._retry_at = self._parts.clock.now() - self._origin + RETRY_S
        again = sentences.LAST_STEP_NOT_SAVED
        self._parts.view.notice(f"{error.message} {again}", error.hint)
        if isinstance(event, ev.Interrupted):
            self._summary = self._machine.summary(self.state)

    def _closing(self) -> Iterator[_Closing]:
        parts = self._parts
        yield from (parts.listener, parts.keys, parts.state, parts.speech, parts.tones)
        yield from (parts.view, parts.journal)

    def _sound(self, verdict: Verdict) -> None:
        tones = self._parts.tones
        tones.play(verdict)
        if tones.failure and not self._tones_gone:
            self._tones_gone = True
            said = sentences.tones_have_stopped(tones.failure)
            self._queue.put(ev.AdapterFailed(self.stamp(), "tones", said))

    def _perform(self, effects: Sequence[e.Effect]) -> None:
        for effect in effects:
            self._do(effect)

    def _do(self, effect: e.Effect) -> None:
        parts = self._parts
        match effect:
            case e.Show(view, news):
                parts.view.show(view, news)
            case e.Say(text, token, pace):
                self._saying = token
                parts.listener.tool_speaks(parts.speech.audible)
                parts.speech.say(text, token, pace)
                parts.speech.prepare(self._machine.coming(self.state))
            case e.Hush():
                parts.speech.hush()
            case e.Listen(item_id, candidates, attempt):
                parts.state.asked(item_id, attempt)
                parts.listener.listen(candidates, attempt)
            case e.StopListening():
                parts.listener.stop_listening()
            case e.Tone(verdict):
                self._sound(verdict)
            case e.Finish(summary):
                self._summary = summary
            case e.Record():
                pass  # stored before anything else


def _records_among(effects: Sequence[e.Effect]) -> list[JournalRecord]:
    return [effect.record for effect in effects if isinstance(effect, e.Record)]
