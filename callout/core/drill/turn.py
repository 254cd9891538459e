"""One step of a drill: the state so far and the effects it calls for."""

from __future__ import annotations

from dataclasses import replace

from callout.core.conversation import effects as e
from callout.core.conversation.effect_builder import ConversationTurn
from callout.core.conversation.events import Stamp
from callout.core.conversation.records import JournalRecord
from callout.core.conversation.view_model import ViewModel
from callout.core.drill.state import DrillProgress, DrillState, apply_drill
from callout.core.drill.summary import DrillSummary, summarise_drill
from callout.core.drill.viewing import view_of_drill
from callout.core.model.candidates import CandidateSet
from callout.core.model.expectation import Expectation

HELD = "@drill-held"
NOTHING = Expectation(accepted=())


class DrillTurn(ConversationTurn[DrillProgress]):
    """Collects what one event leads to."""

    def __init__(self, state: DrillState, stamp: Stamp) -> None:
        super().__init__(state.progress, state.moment, state.context.pacing, stamp)
        self.context = state.context
        self.state = state

    def apply(self, record: JournalRecord) -> DrillProgress:
        """Return the progress after ``record``."""
        return apply_drill(self.progress, record)

    def result(self) -> tuple[DrillState, tuple[e.Effect, ...]]:
        """Return the new state and the effects, in the order in which they must happen."""
        effects = self.effects()
        return replace(self.state, progress=self.progress, moment=self.moment), effects

    @property
    def number(self) -> int:
        """Number of the exercise that is asked."""
        assert self.progress.current is not None
        return self.progress.current

    def waiting(self) -> bool:
        """Say whether an answer is expected; during a hold none is."""
        return is_waiting(self.progress)

    def target(self) -> str:
        """Return the id of what is listened for."""
        return drill_target(self.progress)

    def candidates(self) -> CandidateSet:
        """Return the phrases to listen for; none when only the keyboard replies."""
        context, target = self.context, self.target()
        if not context.hears:
            return CandidateSet(target, ())
        unknown = context.commands.answers.get("unknown", ())
        commands = context.commands if self.progress.held else context.commands.off_hold()
        besides = (*commands.groups(), *([unknown] if unknown else []))
        return context.find_candidates(expected_now(self.progress), besides, context.tables, target)

    def attempt(self) -> int:
        """Return the number of the attempt at the exercise."""
        tally = self.progress.tally
        return 1 + tally.wrong + tally.unclear

    def views(self) -> tuple[ViewModel, ViewModel]:
        """Return the screen before and after."""
        after = replace(self.state, progress=self.progress, moment=self.moment)
        return view_of_drill(self.state), view_of_drill(after)

    def summary(self) -> DrillSummary:
        """Return the summary."""
        return summarise_drill(self.progress)


def is_waiting(progress: DrillProgress) -> bool:
    """Say whether an answer is expected; during a hold none is."""
    return progress.exercise is not None and not progress.held


def expected_now(progress: DrillProgress) -> Expectation:
    """Return which replies are right now."""
    exercise = progress.exercise
    if exercise is None or progress.held:
        return NOTHING
    return exercise.then if progress.follows and exercise.then else exercise.expectation


def drill_target(progress: DrillProgress) -> str:
    """Return the listening id: the item's own, with a suffix for each time it is asked."""
    if progress.over or progress.suspended or not progress.drill_id:
        return ""
    if progress.held:
        return HELD
    exercise = progress.exercise
    if exercise is None:
        return ""
    stage = "-then" if progress.follows else ""
    return f"{exercise.key.item_id}@{progress.current}.{progress.tally.put}{stage}"
