"""What many sessions show together, and how certain it is."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import Enum

from callout.core.debrief.deviations import Deviation
from callout.core.debrief.likely import Likely
from callout.core.debrief.rates import Cause, Rate
from callout.core.sentences import reports as sentences

LEVEL = 0.05
"""Accepted share of false findings (false discovery rate), and level of single tests."""
FEWEST_SESSIONS = 5
"""Fewer sessions show no trend, whatever happened in them."""
FEWEST_ITEM = 8
"""Runs of an item below which nothing is said about it."""


class TrendKind(Enum):
    """What may stand out at an item."""

    SKIPPED = "habitually skipped"
    WRONG = "habitually wrong"
    NOT_SET = "habitually said, not set"
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
    aircraft: str = ""
    title: str = field(default="", compare=False)
    """Title of the list; empty: unknown."""

    @property
    def list_name(self) -> str:
        """The title of the list, or its id."""
        return self.title or self.list_id

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
    """How often; for SLOW, relative to the replies that were timed."""
    p: float
    """p-value of its own test."""
    adjusted: float
    """After Benjamini and Hochberg's correction for all tests of the person."""
    detail: str
    """In words."""
    likely: Likely | None = None
    """How often it probably happens there, over the whole time; None for SLOW."""

    def order(self) -> tuple[bool, bool, float, float, str]:
        """Return the key of order: critical first, what goes wrong before what is only fast, slow
        or better, then the likeliest.
        """
        mild = self.kind in (TrendKind.FAST, TrendKind.SLOW, TrendKind.BETTER)
        share = self.likely.share if self.likely else 0.0
        return not self.critical, mild, -share, self.adjusted, str(self.place)


@dataclass(frozen=True, slots=True)
class TrendLine:
    """The rate of one group, with its causes."""

    name: str
    any: Rate
    causes: dict[Cause, Rate]
    critical: bool = False
    likely: Likely | None = None
    """How often it probably goes wrong; only of items."""


@dataclass(frozen=True, slots=True)
class TrendChange:
    """Whether something rises or falls over the period, at the same items."""

    what: str
    sessions: int
    first: datetime
    last: datetime
    p: float = 1.0
    """Two-sided; after Holm's correction for all changes of the person once they are reported."""
    before: float = 0.0
    after: float = 0.0
    """Share, or seconds, at the same items at the beginning and at the end."""
    times: float = 1.0
    """Odds, or seconds, at the end relative to the beginning."""
    low: float = 0.0
    high: float = 0.0
    """Its 95 % interval, with sessions as clusters; both 0 if nothing was measured."""
    least: float = 0.0
    """A change by this factor, up or down, would be detected four times in five."""
    words: str = ""
    """The verdict in one sentence, honest about few sessions."""

    def saying(self, words: str) -> TrendChange:
        """Return the change with its verdict."""
        return replace(self, words=words)

    def measured(self, **numbers: float) -> TrendChange:
        """Return the change with its numbers."""
        return replace(self, **numbers)  # type: ignore[arg-type]

    def judged(self, p: float, level: float) -> TrendChange:
        """Return the change with its verdict at the corrected ``p``; lower is better."""
        words = sentences.NO_CHANGE_SHOWN
        if p <= level:
            words = sentences.GETS_BETTER if self.times < 1 else sentences.GETS_WORSE
        return replace(self, p=p, words=words)


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
    """Two groups and whether the second goes wrong more, or less, than the first."""

    first: str
    second: str
    a: Rate
    b: Rate
    p: float = 1.0
    """Two-sided, sessions taken whole."""
    adjusted: float = 1.0
    """After Holm's correction for all pairs compared."""
    times: float = 1.0
    """Odds of the second over those of the first, where all else is alike."""
    low: float = 0.0
    high: float = 0.0
    """Its 95 % interval; both 0 where nothing was measured."""
    least: float = 0.0
    """Odds of so many times, or one in so many, would be shown four times in five."""
    least_share: float = 0.0
    """Where one group has no deviation: the share in the other that would show; 0: not worked out.
    """
    alike: str = ""
    """What is alike in both, in words."""

    def measured(self, *, alike: str, **numbers: float) -> Compared:
        """Return the pair with its numbers."""
        return replace(self, alike=alike, **numbers)  # type: ignore[arg-type]

    def judged(self, adjusted: float) -> Compared:
        """Return the pair with its p after the correction."""
        return replace(self, adjusted=adjusted)


@dataclass(frozen=True, slots=True)
class ListFault:
    """An item that goes wrong for nearly everybody: look at the list, not at the people."""

    place: TrendPlace
    challenge: str
    critical: bool
    persons: int
    """Who met it often enough."""
    of_them: int
    """Those for whom it goes wrong far more often than their other items."""
    rate: Rate
    adjusted: float
    proposal: str
    """What to look at in the wording."""
    likely: Likely | None = None
    """Of all who met it, each counting alike."""


@dataclass(frozen=True, slots=True)
class PersonTrends:
    """One person over the whole time."""

    person: str
    sessions: int
    any: Rate
    changes: tuple[TrendChange, ...]
    findings: tuple[TrendFinding, ...]
    power: str = ""
    """The smallest weakness of an item that would have been found, in a sentence."""


@dataclass(frozen=True, slots=True)
class Trends:
    """All trends."""

    sessions: int
    completed: int
    first: datetime
    last: datetime
    causes: dict[Cause, Rate]
    whole: dict[Deviation, Rate]
    """Classes of whole lists: of all sessions, of those in flights, and of flights."""
    lists: tuple[TrendLine, ...]
    phases: tuple[TrendLine, ...]
    items: tuple[TrendLine, ...]
    """Critical ones first, then those that most probably go wrong."""
    roles: tuple[TrendLine, ...]
    months: tuple[TrendLine, ...]
    times: tuple[TrendTimes, ...]
    """By phase, or by list if no phase is known."""
    persons: tuple[PersonTrends, ...]
    compared: tuple[Compared, ...]
    faults: tuple[ListFault, ...] = ()
    problems: tuple[str, ...] = ()
    latest: str = ""
    """How the last session went, in a sentence; empty if there are several people."""
    several_aircraft: bool = True
    """False: the aircraft's name need not be mentioned."""
    drills: tuple[str, ...] = ()
    """What the drills of one person show, in sentences."""

    @property
    def findings(self) -> tuple[TrendFinding, ...]:
        """Those of all persons, what matters most first."""
        found = [f for person in self.persons for f in person.findings]
        return tuple(sorted(found, key=TrendFinding.order))
