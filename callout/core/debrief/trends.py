"""What many sessions show together, with how sure one may be of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from callout.core.debrief.deviations import Deviation
from callout.core.debrief.rates import Cause, Rate

LEVEL = 0.05
"""Share of false findings that is put up with (false discovery rate), and level of single tests."""
FEWEST_SESSIONS = 5
"""With four sessions even a steady change has p = 2/4! = 0.083: fewer show no trend."""
FEWEST_ITEM = 8
"""Runs of an item below which nothing is said of it."""


class TrendKind(Enum):
    """What may stand out at an item."""

    SKIPPED = "habitually skipped"
    WRONG = "habitually wrong"
    FAST = "answered without looking"
    ORDER = "taken out of order"
    SLOW = "slow"
    BETTER = "gets better"
    WORSE = "gets worse"


@dataclass(frozen=True, slots=True)
class TrendPlace:
    """An item of a list."""

    list_id: str
    item_id: str

    def __str__(self) -> str:
        return f"{self.list_id}/{self.item_id}"


@dataclass(frozen=True, slots=True)
class TrendFinding:
    """Something that stands out at one item of one person."""

    person: str
    place: TrendPlace
    challenge: str
    critical: bool
    kind: TrendKind
    rate: Rate
    """How often; for SLOW the replies that were timed."""
    p: float
    """Of its own test."""
    adjusted: float
    """After Benjamini and Hochberg's correction for all tests of the person."""
    detail: str
    """In words."""


@dataclass(frozen=True, slots=True)
class TrendLine:
    """The rate of one group, with its causes."""

    name: str
    any: Rate
    causes: dict[Cause, Rate]


@dataclass(frozen=True, slots=True)
class TrendChange:
    """Whether something rises or falls from session to session."""

    what: str
    sessions: int
    tau: float
    """Kendall's rank correlation with time: -1 falls all the way, 1 rises all the way."""
    p: float
    """Two-sided; after Holm's correction for all changes of all persons once they are told."""
    slope: float
    """Median change in thirty days (Theil and Sen)."""
    low: float
    high: float
    """Its 95 % interval."""
    unit: str
    words: str
    """The verdict in one sentence, honest about few sessions."""


@dataclass(frozen=True, slots=True)
class TrendTimes:
    """Reply times of one group, in seconds."""

    name: str
    count: int
    median: float
    low: float
    high: float
    """95 % interval of the median, from order statistics."""
    quartiles: tuple[float, float]
    reach: tuple[float, float]
    """5th and 95th percentile."""


@dataclass(frozen=True, slots=True)
class Compared:
    """Two groups and whether their rates differ."""

    first: str
    second: str
    a: Rate
    b: Rate
    p: float
    adjusted: float
    """After Holm's correction for all pairs compared."""


@dataclass(frozen=True, slots=True)
class PersonTrends:
    """One person over the whole time."""

    person: str
    sessions: int
    any: Rate
    changes: tuple[TrendChange, ...]
    findings: tuple[TrendFinding, ...]


@dataclass(frozen=True, slots=True)
class Trends:
    """All of it."""

    sessions: int
    completed: int
    first: datetime
    last: datetime
    causes: dict[Cause, Rate]
    whole: dict[Deviation, Rate]
    """Classes of lists as a whole: of all sessions, of those in flights, and of flights."""
    lists: tuple[TrendLine, ...]
    phases: tuple[TrendLine, ...]
    items: tuple[TrendLine, ...]
    """Most often wrong first."""
    roles: tuple[TrendLine, ...]
    months: tuple[TrendLine, ...]
    times: tuple[TrendTimes, ...]
    """By phase, or list where no phase is known."""
    persons: tuple[PersonTrends, ...]
    compared: tuple[Compared, ...]
    problems: tuple[str, ...] = ()

    @property
    def findings(self) -> tuple[TrendFinding, ...]:
        """Those of all persons, surest first."""
        found = [f for person in self.persons for f in person.findings]
        return tuple(sorted(found, key=lambda f: f.adjusted))
