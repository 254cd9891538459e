"""What a flight knows: what its journal can rebuild, the open list, and the passing moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.settled import Settled
from callout.core.checklist_run.state import Context, SessionState
from callout.core.conversation.events import TypedReply
from callout.core.conversation.moment import Moment
from callout.core.conversation.progress import CommonProgress
from callout.core.flight_run.questions import DeskQuestion
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.planning.basis import Basis
from callout.core.planning.plan import Plan
from callout.core.planning.stated_quantity import Given
from callout.core.state.board import NOTHING, Board
from callout.core.state.keeping_watch import Kept

DESK = "@desk"
"""Listening id between lists; questions there are "@desk-" and their name."""


@dataclass(frozen=True, slots=True)
class ListRun:
    """One run of one list in this flight."""

    list_id: str
    session_id: str
    ending: Ending | None = None
    ended: datetime | None = None
    aside: bool = False
    open_items: int = 0
    """Items without an outcome."""
    skipped: int = 0
    basis: Basis | None = None
    """The facts and figures under which it ended; None while it runs, or in earlier versions."""
    settled: tuple[Settled, ...] = ()
    """What it left settled."""
    rest_of: str = ""
    """The completed run whose answers still hold; only what has changed since is asked."""
    sprung: bool = False
    """Memory items only, as an exercise."""
    recital: str = ""
    """How they were recited, in words."""


@dataclass(frozen=True, slots=True)
class SectorProgress(CommonProgress):
    """Everything that the flight's own records rebuild; ``sound`` includes its finished lists."""

    sector_id: str = ""
    mark: str = ""
    title: str = ""
    first: str = ""
    received: str = ""
    runs: tuple[ListRun, ...] = ()
    facts: Mapping[str, bool] = field(default_factory=dict)
    given: tuple[Given, ...] = ()
    """Quantities stated since it began; later ones win."""
    known_at: Mapping[str, float] = field(default_factory=dict)
    """Session time at which each of these facts and quantities was stated."""
    produced: tuple[str, ...] = ()
    done: Mapping[tuple[str, str], datetime] = field(default_factory=dict)
    """When an item due only once was answered in this flight, by list and item."""
    moments: tuple[str, ...] = ()
    left: str = ""
    """Journal of the list that was set aside for the called one, until that one begins."""
    question: DeskQuestion | None = None
    subject: str = ""
    """The list that the question is about."""
    ended: bool = False

    @property
    def open_run(self) -> ListRun | None:
        """The run in progress."""
        return next((run for run in self.runs if run.ending is None and not run.aside), None)

    def run(self, session_id: str) -> ListRun | None:
        """Return one run."""
        return next((run for run in self.runs if run.session_id == session_id), None)

    def last_run(self, list_id: str) -> ListRun | None:
        """Return the latest run of a list."""
        return next((run for run in reversed(self.runs) if run.list_id == list_id), None)

    def completed(self, list_id: str) -> bool:
        """Say whether the latest run of a list was completed."""
        run = self.last_run(list_id)
        return run is not None and run.ending is Ending.COMPLETED

    def with_run(self, session_id: str, change: Callable[[ListRun], ListRun]) -> SectorProgress:
        """Return the progress with one run changed."""
        runs = (change(run) if run.session_id == session_id else run for run in self.runs)
        return replace(self, runs=tuple(runs))


@dataclass(frozen=True, slots=True)
class Surprises:
    """When random memory items come, and which; drawn outside the core."""

    after: tuple[int, ...] = ()
    """Number of lists that end before each."""
    order: tuple[str, ...] = ()
    """Ids of lists with memory items; those not named come last."""


@dataclass(frozen=True, slots=True)
class SectorContext:
    """What a flight works with and never changes."""

    session: Context
    lists: tuple[Checklist, ...]
    """In the order of the flight; drills last."""
    flight: Flight
    crew: int = 1
    """People who answer: 1 or 2."""
    done: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """Items due only once that were done before this flight: by list and item, in words."""
    surprises: Surprises = Surprises()

    def checklist(self, list_id: str) -> Checklist | None:
        """Return a list by its id."""
        return next((found for found in self.lists if found.id == list_id), None)


@dataclass(frozen=True, slots=True)
class SectorState:
    """A flight at one moment."""

    context: SectorContext
    progress: SectorProgress = SectorProgress()
    moment: Moment = field(default_factory=Moment)
    inner: SessionState | None = None
    """The open list: live when ``awake``, otherwise as its journal left it."""
    awake: bool = False
    board: Board = NOTHING
    """What the aircraft has reported; not stored."""
    kept: tuple[Kept, ...] = ()
    """What the previous list left set, watched until the next one; not stored."""
    aside: Mapping[str, SessionState] = field(default_factory=dict)
    """Lists set aside, by the name of their journal."""
    wanted: tuple[str, object] | None = None
    """A list called for while another was open, with the words; it comes next as soon as that one
    pauses.
    """
    late: tuple[TypedReply, ...] = ()
    """Lines typed while one list was set aside for another: refused aloud at the next question,
    never lost.
    """
    lead: str = ""
    """What the list that just ended still has to say."""

    @property
    def plan(self) -> Plan | None:
        """Plan of the open list."""
        return self.inner.progress.plan if self.inner else None
