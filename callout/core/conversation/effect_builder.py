"""What one step says, shows and listens for, in the order in which it must happen."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import replace
from typing import Generic, TypeVar, Unpack

from callout.core.conversation import effects as e
from callout.core.conversation.events import Stamp
from callout.core.conversation.moment import Moment, MomentChange
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.progress import CommonProgress
from callout.core.conversation.records import JournalRecord
from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel
from callout.core.model.candidates import CandidateSet
from callout.core.model.verdict import Verdict

P = TypeVar("P", bound=CommonProgress)


class ConversationTurn(ABC, Generic[P]):
    """Collects what one event leads to; lives for one step and changes nothing outside."""

    progress: P

    def __init__(self, progress: P, moment: Moment, pacing: Pacing, stamp: Stamp) -> None:
        self.progress = progress
        self.moment = moment
        self.pacing = pacing
        self.stamp = stamp
        self._moment_before = moment
        self._records: list[JournalRecord] = []
        self._said: list[str] = []
        self._news: list[str] = []
        self._tone: Verdict | None = None
        self._cut = False
        self._finished = False

    @abstractmethod
    def apply(self, record: JournalRecord) -> P:
        """Return the progress after ``record``."""

    @abstractmethod
    def target(self) -> str:
        """Return the id of what is listened for; empty when nothing is."""

    @abstractmethod
    def waiting(self) -> bool:
        """Say whether an answer is expected, so that silence gets a reminder."""

    @abstractmethod
    def candidates(self) -> CandidateSet:
        """Return the phrases to listen for."""

    @abstractmethod
    def views(self) -> tuple[ViewModel, ViewModel]:
        """Return the screen before and after."""

    @abstractmethod
    def summary(self) -> CommonSummary:
        """Return the summary of the conversation."""

    def attempt(self) -> int:
        """Return the number of the attempt, so that evidence can accumulate."""
        return 1

    def record(self, fact: JournalRecord) -> None:
        """Write a fact down and let it change the progress."""
        seq, at = self.progress.seq + 1, max(self.stamp.at, self.progress.at)
        written = fact.written(seq, self.stamp.utc, at)
        self.progress = self.apply(written)
        self._records.append(written)

    def set(self, **facts: Unpack[MomentChange]) -> None:
        """Change the passing moment."""
        self.moment = replace(self.moment, **facts)

    def say(self, *sentences: str) -> None:
        """Speak (unless quiet); everything said in one step is spoken together."""
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
        """Add lines for screens that only print."""
        self._news.extend(line for line in lines if line)

    def tone(self, verdict: Verdict) -> None:
        """Play the tone of a verdict."""
        self._tone = verdict if self.pacing.tones else None

    def cut(self) -> None:
        """Stop the voice; something else matters now."""
        self._cut = True

    def rearm(self) -> None:
        """Have the ear armed again although the item is unchanged."""
        self.set(listening="")

    def over(self) -> None:
        """Note that the question has been said, cut short or shown; the first time starts the reply
        clock.
        """
        at, first = self.stamp.at, self.moment.timed_from
        self.set(asked_at=at, timed_from=at if first is None else first)

    def time_anew(self) -> None:
        """Restart the reply clock when what this step says is over."""
        self.set(timed_from=None)

    def finish(self) -> None:
        """End the conversation."""
        self._finished = True

    def effects(self) -> tuple[e.Effect, ...]:
        """Return the effects; records come first, since they must be stored before the rest
        happens.
        """
        if self.moment.heard is not self._moment_before.heard:
            self.set(seen=self._moment_before.troubles)
        voice = self._voice()
        ears = self._ears()
        found: list[e.Effect] = [e.Record(record) for record in self._records]
        found += [effect for effect in ears if isinstance(effect, e.StopListening)]
        found += self._screen()
        found += [e.Tone(self._tone)] if self._tone else []
        found += voice
        found += [effect for effect in ears if isinstance(effect, e.Listen)]
        found += [e.Finish(self.summary())] if self._finished else []
        return tuple(found)

    def _voice(self) -> list[e.Effect]:
        token, at = self.moment.token, self.stamp.at
        quiet, pace = self.progress.quiet, self.progress.pace
        if self._said and not quiet:
            self.set(token=token + 1, speaking=True, asked_at=None, shown_at=at, listen_due=None)
            return [e.Say(" ".join(self._said), token + 1, pace)]
        if self._said:
            self.set(shown_at=at)
            self.over()
        if self._cut and self.moment.speaking:
            self.set(token=token + 1, speaking=False, listen_due=None)
            self.over()
            return [e.Hush()]
        return []

    def _ears(self) -> list[e.Effect]:
        target = "" if self._finished or self._gated() else self.target()
        if target == self.moment.listening == self._moment_before.listening:
            return []
        found: list[e.Effect] = []
        if self._moment_before.listening:
            found.append(e.StopListening())
        if target:
            found.append(e.Listen(target, self.candidates(), self.attempt()))
        self.set(listening=target)
        return found

    def _gated(self) -> bool:
        resting = self.moment.listen_due is not None
        return resting or (self.moment.speaking and not self.pacing.barge_in)

    def _screen(self) -> list[e.Effect]:
        before, after = self.views()
        if not self._news and after == before:
            return []
        return [e.Show(after, tuple(self._news))]
