"""What is known about a class: people, items, faults of the list, and agreed actions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from callout.core.debrief.likely import Likely
from callout.core.debrief.rates import Rate
from callout.core.debrief.trends import ListFault, TrendChange, TrendFinding, TrendPlace
from callout.core.instructor.agreeing import ClassEntry, Reached, Standard


@dataclass(frozen=True, slots=True)
class ClassPerson:
    """One trainee."""

    name: str
    sessions: int
    any: Rate
    """Items with a deviation, of those met."""
    recent: Rate
    """The same over the latest sessions."""
    critical: int
    """Deviations at critical items in the latest sessions."""
    reached: Reached
    changes: tuple[TrendChange, ...]
    findings: tuple[TrendFinding, ...]
    """The person's own findings, improvements included; faults of the list left out."""
    better: tuple[TrendFinding, ...]
    power: str
    actions: tuple[ClassEntry, ...]
    notes: tuple[ClassEntry, ...]


@dataclass(frozen=True, slots=True)
class ClassItem:
    """One item, for everybody together."""

    place: TrendPlace
    challenge: str
    critical: bool
    rate: Rate
    people: int
    """Number of people for whom something went wrong."""
    of_people: int
    """Number of people who met it."""
    repair: bool
    """True: it is a fault of the list."""
    likely: Likely
    """Of those who met it, each counting alike."""


@dataclass(frozen=True, slots=True)
class ClassReport:
    """Everything an instructor looks at before a lesson."""

    people: tuple[ClassPerson, ...]
    """In order of name: the numbers do not justify a ranking."""
    items: tuple[ClassItem, ...]
    faults: tuple[ListFault, ...]
    standard: Standard | None
    actions: tuple[ClassEntry, ...]
    notes: tuple[ClassEntry, ...]
    """About the class."""
    first: datetime
    last: datetime
    problems: tuple[str, ...] = ()

    @property
    def several_aircraft(self) -> bool:
        """False: the aircraft's name need not be mentioned."""
        places = [one.place for one in self.items] + [one.place for one in self.faults]
        for person in self.people:
            places += [one.place for one in (*person.findings, *person.better)]
        return len({place.aircraft for place in places}) > 1

    @property
    def any(self) -> Rate:
        """Items with a deviation, of those that all people met."""
        hits = sum(person.any.hits for person in self.people)
        return Rate(hits, sum(person.any.total for person in self.people))

    @property
    def sessions(self) -> int:
        """Of all people."""
        return sum(person.sessions for person in self.people)
