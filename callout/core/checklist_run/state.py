"""What a session knows: what the journal can rebuild (Progress), and the passing moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from callout.core.checklist_run.causes import Ending, Question
from callout.core.checklist_run.item_progress import ControlProgress as ControlProgress
from callout.core.checklist_run.item_progress import FlowPast as FlowPast
from callout.core.checklist_run.item_progress import ItemOutcome as ItemOutcome
from callout.core.checklist_run.item_progress import ItemProgress as ItemProgress
from callout.core.checklist_run.item_progress import MemoryProgress as MemoryProgress
from callout.core.checklist_run.item_progress import PanelProgress as PanelProgress
from callout.core.conversation.moment import Moment
from callout.core.conversation.pacing import Challenger, FlowMode, Pacing
from callout.core.conversation.progress import CommonProgress
from callout.core.language.tables import Tables
from callout.core.model.candidates import CandidateSet
from callout.core.model.commands import CommandTable
from callout.core.model.expectation import Expectation
from callout.core.planning.plan import Plan, PlannedItem
from callout.core.planning.plan_inputs import Setting
from callout.core.planning.stated_quantity import Given
from callout.core.state.board import NOTHING, Board
from callout.core.state.flow_watch import HandMove, Hands

NO_PLAN = Plan(list_id="", title="", items=(), completion_call="")


@dataclass(frozen=True, slots=True)
class Progress(CommonProgress):
    """Everything that a journal's records rebuild."""

    session_id: str = ""
    plan: Plan = NO_PLAN
    items: tuple[ItemProgress, ...] = ()
    position: int | None = None
    """Index of the item last challenged."""
    trail: tuple[int, ...] = ()
    """Items left behind, in order: answered, skipped or deferred. "Go back" returns to the last."""
    round: int = 0
    """0 in list order, then one more for each pass through the deferred items."""
    question: Question | None = None
    held: bool = False
    holds: int = 0
    """Times it was put on hold."""
    flow_panels: int = 0
    """Panels of the flow reported done."""
    flow_done: bool = False
    flow_began: float | None = None
    """Session time in seconds; None before the flow."""
    flow_seconds: float | None = None
    """Duration of the flow, from the call for it to its end."""
    flow_misses: int = 0
    """Wrong panels named since the last one was completed."""
    panels: tuple[PanelProgress, ...] = ()
    controls: tuple[ControlProgress, ...] = ()
    """Controls of the flow recited from memory, in order."""
    flow_mode: FlowMode | None = None
    """How the flow was guided, once it is done; None in journals of earlier versions."""
    flow_passed: bool = False
    hands: tuple[HandMove, ...] = ()
    """Controls that were moved in the flow, in order."""
    flow_seen: Hands | None = None
    """Their positions at the end; None: unknown."""
    memory: MemoryProgress = field(default_factory=MemoryProgress)
    challenger: Challenger = Challenger.TOOL
    passed_over: int = 0
    """Items that a person challenged out of order."""
    commands: int = 0
    """Spoken commands and keys obeyed."""
    ending: Ending | None = None
    call: str = ""
    facts: Mapping[str, bool | None] = field(default_factory=dict)
    """The set-up as stated during the list."""
    fact: str = ""
    """The fact that is asked for."""
    given: tuple[Given, ...] = ()
    """Quantities stated during the list; later ones win."""
    known_at: Mapping[str, float] = field(default_factory=dict)
    """Session time at which each of these facts and quantities was stated."""
    offered: Given | None = None
    """A quantity heard and read back; it counts once confirmed."""
    ways: Mapping[str, str] = field(default_factory=dict)
    """Where each answered question led: an item or an end."""
    again: tuple[str, ...] = ()
    """Items asked although already done."""

    @property
    def current(self) -> int | None:
        """Index of the item being asked: the last one challenged, if it has no outcome."""
        if self.position is None or not self.items[self.position].open:
            return None
        return None if self.items[self.position].due_round > self.round else self.position

    @property
    def awaiting(self) -> bool:
        """True while a person's challenge is awaited."""
        idle = self.current is None and self.question is None and not self.held
        ready = self.flow_began is None or self.flow_done
        return self.challenger is Challenger.PERSON and idle and ready and bool(self.due_items)

    @property
    def due_items(self) -> tuple[int, ...]:
        """Indices of open items of this round."""
        return tuple(n for n in self.open_items if self.items[n].due_round <= self.round)

    @property
    def item(self) -> PlannedItem | None:
        """The item being asked."""
        return None if self.current is None else self.plan.items[self.current]

    @property
    def panel_began(self) -> float:
        """Session time at which the panel under way began."""
        begun = self.at if self.flow_began is None else self.flow_began
        return begun + sum(done.seconds for done in self.panels)

    @property
    def last_left(self) -> int | None:
        """Index of the item last answered, skipped or deferred that still applies."""
        applying = (n for n in reversed(self.trail) if self.plan.items[n].applicable)
        return next(applying, None)

    @property
    def open_items(self) -> tuple[int, ...]:
        """Indices of items without an outcome."""
        return tuple(n for n, item in enumerate(self.items) if item.open)

    @property
    def done_before(self) -> tuple[PlannedItem, ...]:
        """Items left out because they were already done."""
        return tuple(item for item in self.plan.items if item.done and not item.applicable)

    @property
    def parked(self) -> tuple[int, ...]:
        """Indices of deferred items waiting for a later round."""
        return tuple(n for n in self.open_items if self.items[n].due_round > self.round)

    @property
    def unanswered(self) -> tuple[int, ...]:
        """Indices of items without a right reply: still open, or left open."""
        open_ones = (None, ItemOutcome.LEFT_OPEN)
        return tuple(n for n, item in enumerate(self.items) if item.outcome in open_ones)

    @property
    def skipped(self) -> tuple[int, ...]:
        """Indices of skipped items."""
        return tuple(n for n, i in enumerate(self.items) if i.outcome is ItemOutcome.SKIPPED)

    @property
    def next_due(self) -> int | None:
        """Index of the first open item of this round."""
        due = [n for n in self.open_items if self.items[n].due_round <= self.round]
        first = self.flow_seen.items if self.flow_seen and not self.plan.ends else ()
        return next((n for n in due if self.plan.items[n].id in first), next(iter(due), None))


def nothing_elsewhere(before: Progress, after: Progress) -> tuple[str, ...]:
    """Return nothing: the list stands alone."""
    return ()


CandidateFinder = Callable[[Expectation, tuple[tuple[str, ...], ...], Tables, str], CandidateSet]
"""Expectation, ways to say each command, the judge's tables and an id -> candidates."""


def nothing_to_hear(
    expected: Expectation, commands: tuple[tuple[str, ...], ...], tables: Tables, item_id: str
) -> CandidateSet:
    """Return an empty set: nothing is listening."""
    return CandidateSet(item_id, ())


@dataclass(frozen=True, slots=True)
class Context:
    """What a session works with and never changes."""

    commands: CommandTable
    tables: Tables
    pacing: Pacing = field(default_factory=Pacing)
    find_candidates: CandidateFinder = nothing_to_hear
    """Turns an expectation into the phrases a recogniser should listen for."""
    hears: bool = False
    """False when replies come from the keyboard only: no candidates are computed."""
    hearing: str = ""
    """Name of the recogniser, for the screen."""
    setting: Setting | None = None
    """What the plan was computed from; None: the set-up cannot change."""
    extra_phrases: tuple[str, ...] = ()
    """Other phrases to listen for: facts of the set-up, calls for drills."""
    flows: Mapping[str, FlowPast] = field(default_factory=dict)
    """How far the flow of each list is learnt, by the list's id."""
    elsewhere: Callable[[Progress, Progress], tuple[str, ...]] = nothing_elsewhere
    """Returns the effect that a change of progress has on the other lists of a flight."""
    watches: bool = False
    """True: the aircraft's state is in use."""
    keeps_watch: bool = False
    """True: what was set is watched until the next list."""


@dataclass(frozen=True, slots=True)
class SessionState:
    """A session at one moment."""

    context: Context
    progress: Progress = Progress()
    moment: Moment = field(default_factory=Moment)
    board: Board = NOTHING
    """What the aircraft has reported; not stored."""
