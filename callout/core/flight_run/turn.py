"""One step between lists: the state so far and the effects it calls for."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run.state import CandidateFinder
from callout.core.conversation import effects as e
from callout.core.conversation.effect_builder import ConversationTurn
from callout.core.conversation.events import Stamp
from callout.core.conversation.records import JournalRecord
from callout.core.conversation.view_model import ViewModel
from callout.core.flight_run.calls import desk_groups
from callout.core.flight_run.replay import apply_sector
from callout.core.flight_run.state import DESK, SectorContext, SectorProgress, SectorState
from callout.core.flight_run.summary import SectorSummary, summarise_sector
from callout.core.flight_run.viewing import view_of_desk
from callout.core.language.tables import Tables
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.commands import Command
from callout.core.model.expectation import Expectation, phrase

NOTHING = Expectation(accepted=())
OF_A_LIST = (
    Command.SKIP,
    Command.DEFER,
    Command.GO_BACK,
    Command.DISREGARD,
    Command.SET_UP,
    Command.DO_ANYWAY,
    Command.WHY,
)
"""Commands without a meaning between lists: their everyday words ("back") would only drown calls
("parked").
"""


class DeskTurn(ConversationTurn[SectorProgress]):
    """Collects what one event leads to between lists."""

    def __init__(self, state: SectorState, stamp: Stamp) -> None:
        super().__init__(state.progress, state.moment, state.context.session.pacing, stamp)
        self.context: SectorContext = state.context
        self.state = state
        """The flight so far; its open list may be changed here."""

    def apply(self, record: JournalRecord) -> SectorProgress:
        """Return the progress after ``record``."""
        return apply_sector(self.progress, record)

    def result(self) -> tuple[SectorState, tuple[e.Effect, ...]]:
        """Return the new state and the effects, in the order in which they must happen."""
        effects = self.effects()
        return replace(self.state, progress=self.progress, moment=self.moment), effects

    def close_list(self, *, lead: str | None = None) -> None:
        """Leave the open list. lead: what it still has to say."""
        said = self.state.lead if lead is None else lead
        self.state = replace(self.state, inner=None, awake=False, lead=said)

    def waiting(self) -> bool:
        """Return False: silence between lists gets no reminder."""
        return False

    def target(self) -> str:
        """Return the id of what is listened for."""
        return desk_target(self.progress)

    def candidates(self) -> CandidateSet:
        """Return the phrases to listen for; none when only the keyboard replies."""
        session = self.context.session
        if not session.hears:
            return CandidateSet(self.target(), ())
        answers = session.commands.answers
        asked = (answers.get("yes", ()), answers.get("no", ()))
        groups = asked if self.progress.question else desk_groups(self.context)
        find, tables = session.find_candidates, session.tables
        found = {group[0]: said_alike(group, find, tables) for group in groups if group}
        commands = session.commands.formal(OF_A_LIST).groups()
        rest = find(NOTHING, commands, tables, self.target())
        return replace(rest, candidates=(*found.values(), *rest.candidates))

    def views(self) -> tuple[ViewModel, ViewModel]:
        """Return the screen before and after."""
        after = replace(self.state, progress=self.progress, moment=self.moment)
        return view_of_desk(self.state), view_of_desk(after)

    def summary(self) -> SectorSummary:
        """Return the summary of the flight."""
        return summarise_sector(self.context, self.progress)


def said_alike(group: tuple[str, ...], find: CandidateFinder, tables: Tables) -> Candidate:
    """Return phrases of one meaning as one candidate, so that they do not compete."""
    found = find(Expectation(accepted=tuple(map(phrase, group))), (), tables, "").candidates
    own = (c for c in found if c.role is CandidateRole.ACCEPTED)
    forms = dict.fromkeys(form for candidate in own for form in candidate.forms)
    return Candidate(group[0], CandidateRole.ACCEPTED, tuple(forms))


def desk_target(progress: SectorProgress) -> str:
    """Return the listening id between lists; empty if nothing is asked or called for."""
    if progress.ended or progress.suspended or progress.open_run or not progress.sector_id:
        return ""
    return f"{DESK}-{progress.question.value}" if progress.question else DESK
