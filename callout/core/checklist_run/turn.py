"""One step of an open list: the state so far and the effects it calls for."""

from __future__ import annotations

from callout.core.checklist_run.arming import candidates_of, target_of
from callout.core.checklist_run.replay import apply_record
from callout.core.checklist_run.state import Context, Progress, SessionState
from callout.core.checklist_run.summary import Summary, summarise_list
from callout.core.checklist_run.viewing import view_of
from callout.core.conversation import effects as e
from callout.core.conversation.effect_builder import ConversationTurn
from callout.core.conversation.events import Stamp
from callout.core.conversation.records import JournalRecord
from callout.core.conversation.view_model import ViewModel
from callout.core.model.candidates import CandidateSet
from callout.core.state.board import Board


class Turn(ConversationTurn[Progress]):
    """Collects what one event leads to at a list."""

    def __init__(self, state: SessionState, stamp: Stamp) -> None:
        super().__init__(state.progress, state.moment, state.context.pacing, stamp)
        self.context: Context = state.context
        self.board: Board = state.board
        self._before = state

    def apply(self, record: JournalRecord) -> Progress:
        """Return the progress after ``record``."""
        return apply_record(self.progress, record)

    def result(self) -> tuple[SessionState, tuple[e.Effect, ...]]:
        """Return the new state and the effects, in the order in which they must happen."""
        effects = self.effects()
        return self._now(), effects

    def _now(self) -> SessionState:
        return SessionState(self.context, self.progress, self.moment, self.board)

    def target(self) -> str:
        """Return the id of what is listened for."""
        return target_of(self.progress)

    def waiting(self) -> bool:
        """Say whether a reply is expected; during a hold or a person's challenge none is."""
        return is_waiting(self.progress)

    def candidates(self) -> CandidateSet:
        """Return the phrases to listen for."""
        return candidates_of(self.context, self.progress)

    def attempt(self) -> int:
        """Return the number of the attempt at the current item."""
        current = self.progress.current
        if current is None:
            return 1
        item = self.progress.items[current]
        return 1 + item.unclear + item.mismatches + item.not_set

    def views(self) -> tuple[ViewModel, ViewModel]:
        """Return the screen before and after."""
        return view_of(self._before), view_of(self._now())

    def summary(self) -> Summary:
        """Return the summary of the list."""
        return summarise_list(self.progress)


def is_waiting(progress: Progress) -> bool:
    """Say whether a reply is expected; during a hold or a person's challenge none is."""
    return bool(target_of(progress)) and not progress.awaiting and not progress.held
