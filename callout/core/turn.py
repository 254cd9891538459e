"""One step of a list under way: the state so far and the effects it calls for."""

from __future__ import annotations

from typing import Any

from callout.core import effects as e
from callout.core.arming import candidates_of, target_of
from callout.core.breath import Breath
from callout.core.candidates import CandidateSet
from callout.core.events import Stamp
from callout.core.journal_records import JournalRecord
from callout.core.replay import apply
from callout.core.state import Context, Progress, State
from callout.core.summary import summarise
from callout.core.view_model import ViewModel
from callout.core.viewing import view_of


class Turn(Breath):
    """Collects what one event leads to at a list."""

    def __init__(self, state: State, stamp: Stamp) -> None:
        super().__init__(state.moment, state.context.pacing, stamp)
        self.context: Context = state.context
        self.progress: Progress = state.progress
        self._before = state

    def record(self, kind: type[JournalRecord], **facts: Any) -> None:
        """Write a fact down and let it change the progress."""
        seq, utc, at = self.progress.seq + 1, self.stamp.utc, self.stamp.at
        written = kind(seq, utc, max(at, self.progress.at), **facts)
        self.progress = apply(self.progress, written)
        self._records.append(written)

    def result(self) -> tuple[State, tuple[e.Effect, ...]]:
        """Return the new state and the effects, in the order in which they must happen."""
        effects = self.effects()
        return State(self.context, self.progress, self.moment), effects

    @property
    def voice(self) -> tuple[bool, float]:
        """Whether to be quiet, and the pace to speak at."""
        return self.progress.quiet, self.progress.pace

    def target(self) -> str:
        """Return the id of what is listened for."""
        return target_of(self.progress)

    def candidates(self) -> CandidateSet:
        """Return the phrases to listen for."""
        return candidates_of(self.context, self.progress)

    def attempt(self) -> int:
        """Return which try at the current item it is."""
        current = self.progress.current
        if current is None:
            return 1
        item = self.progress.items[current]
        return 1 + item.unclear + item.mismatches

    def views(self) -> tuple[ViewModel, ViewModel]:
        """Return the screen before and after."""
        return view_of(self._before), view_of(State(self.context, self.progress, self.moment))

    def ending(self) -> list[e.Effect]:
        """End with the summary of the list."""
        return [e.Finish(summarise(self.progress))]
