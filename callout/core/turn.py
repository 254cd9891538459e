"""One step under way: the state so far and the effects it calls for."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from callout.core import effects as e
from callout.core.arming import candidates_of, target_of
from callout.core.events import Stamp
from callout.core.journal_records import JournalRecord
from callout.core.replay import apply
from callout.core.state import Context, Moment, Progress, State
from callout.core.summary import summarise
from callout.core.verdict import Verdict
from callout.core.viewing import view_of


class Turn:
    """Collects what one event leads to; lives for one step and changes nothing outside."""

    def __init__(self, state: State, stamp: Stamp) -> None:
        self.stamp = stamp
        self.context: Context = state.context
        self.progress: Progress = state.progress
        self.moment: Moment = state.moment
        self._before = state
        self._records: list[JournalRecord] = []
        self._said: list[str] = []
        self._news: list[str] = []
        self._tone: Verdict | None = None
        self._cut = False
        self._finished = False

    def record(self, kind: type[JournalRecord], **facts: Any) -> None:
        """Write a fact down and let it change the progress."""
        seq, utc, at = self.progress.seq + 1, self.stamp.utc, self.stamp.at
        written = kind(seq, utc, max(at, self.progress.at), **facts)
        self.progress = apply(self.progress, written)
        self._records.append(written)

    def set(self, **facts: Any) -> None:
        """Change the passing moment."""
        self.moment = replace(self.moment, **facts)

    def say(self, *sentences: str) -> None:
        """Speak (unless quiet); what is said in one step is said in one breath."""
        self._said.extend(s for s in sentences if s)

    def tell(self, sentence: str) -> None:
        """Say and show one sentence that is not a challenge."""
        self.say(sentence)
        self.note(sentence)

    def note(self, sentence: str) -> None:
        """Show one sentence without saying it."""
        self.set(sentence=sentence)
        self.news(sentence)

    def news(self, *lines: str) -> None:
        """Print lines on screens that only print."""
        self._news.extend(line for line in lines if line)

    def tone(self, verdict: Verdict) -> None:
        """Play the tone of a verdict."""
        self._tone = verdict if self.context.pacing.tones else None

    def cut(self) -> None:
        """End what is being said; something else matters now."""
        self._cut = True

    def rearm(self) -> None:
        """Have the ear armed anew although the item is the same."""
        self.set(listening="")

    def finish(self) -> None:
        """End the session."""
        self._finished = True

    def result(self) -> tuple[State, tuple[e.Effect, ...]]:
        """Return the new state and the effects, in the order in which they must happen."""
        voice = self._voice()
        ears = self._ears()
        state = State(self.context, self.progress, self.moment)
        found: list[e.Effect] = [e.Record(record) for record in self._records]
        found += [effect for effect in ears if isinstance(effect, e.StopListening)]
        found += self._screen(state)
        found += [e.Tone(self._tone)] if self._tone else []
        found += voice
        found += [effect for effect in ears if isinstance(effect, e.Listen)]
        found += [e.Finish(summarise(self.progress))] if self._finished else []
        return state, tuple(found)

    def _voice(self) -> list[e.Effect]:
        token, at = self.moment.token, self.stamp.at
        if self._said and not self.progress.quiet:
            self.set(token=token + 1, speaking=True, asked_at=None, shown_at=at, listen_due=None)
            return [e.Say(" ".join(self._said), token + 1, self.progress.pace)]
        if self._said:
            self.set(asked_at=at, shown_at=at)
        if self._cut and self.moment.speaking:
            self.set(token=token + 1, speaking=False, asked_at=at, listen_due=None)
            return [e.Hush()]
        return []

    def _ears(self) -> list[e.Effect]:
        target = "" if self._finished or self._gated() else target_of(self.progress)
        if target == self.moment.listening == self._before.moment.listening:
            return []
        found: list[e.Effect] = []
        if self._before.moment.listening:
            found.append(e.StopListening())
        if target:
            found.append(e.Listen(target, candidates_of(self.context, self.progress), self._try()))
        self.set(listening=target)
        return found

    def _gated(self) -> bool:
        resting = self.moment.listen_due is not None
        return resting or (self.moment.speaking and not self.context.pacing.barge_in)

    def _try(self) -> int:
        current = self.progress.current
        if current is None:
            return 1
        item = self.progress.items[current]
        return 1 + item.unclear + item.mismatches

    def _screen(self, state: State) -> list[e.Effect]:
        view = view_of(state)
        if not self._news and view == view_of(self._before):
            return []
        return [e.Show(view, tuple(self._news))]
