"""A class report: people one by one, faults of the lists separate from people's own, and agreed
actions.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from callout.app.reports.changing import changes_of
from callout.app.reports.likely import LikelySums, OwnLikely, Shares, likely_of, with_likely
from callout.app.reports.list_faults import FaultSums
from callout.app.reports.standing_out import findings_of, paces_of, place_of, power_of
from callout.core.debrief.facts import Facts, ItemFact
from callout.core.debrief.likely import some_of_both
from callout.core.debrief.own_pace import with_own_pace
from callout.core.debrief.rates import Cause, Rate, cause_happened, cause_rate
from callout.core.debrief.trends import TrendChange, TrendKind, TrendPlace
from callout.core.instructor.agreeing import (
    ClassEntry,
    EntryKind,
    Standard,
    entries_about,
    open_actions,
    standard_in,
    standard_reached,
)
from callout.core.instructor.class_facts import ClassItem, ClassPerson, ClassReport

MOST_ITEMS = 12
"""Number of items shown."""
LATEST = 20
"""Number of latest sessions if no standard says how many."""


@dataclass(slots=True)
class _ItemSums:
    last: ItemFact
    hits: int = 0
    total: int = 0
    people: int = 0
    of_people: int = 0


@dataclass(slots=True)
class _Sums:
    faults: FaultSums = field(default_factory=FaultSums)
    likely: LikelySums = field(default_factory=LikelySums)
    items: dict[TrendPlace, _ItemSums] = field(default_factory=dict)
    days: list[datetime] = field(default_factory=list)

    def add(self, name: str, facts: Facts, own: OwnLikely) -> None:
        items = facts.items
        self.faults.add(name, items)
        self.likely.add(own)
        began = [session.began for session in facts.sessions]
        self.days = [min([*self.days, *began]), max([*self.days, *began])]
        hits: Counter[TrendPlace] = Counter()
        met: Counter[TrendPlace] = Counter()
        for item in items:
            if item.met:
                place = place_of(item)
                self.items.setdefault(place, _ItemSums(item)).last = item
                met[place] += 1
                hits[place] += cause_happened(item, Cause.ANY)
        for place, count in met.items():
            sums = self.items[place]
            sums.hits, sums.total = sums.hits + hits[place], sums.total + count
            sums.people += hits[place] > 0
            sums.of_people += 1


def class_of(
    people: Iterable[tuple[str, Facts]], entries: Sequence[ClassEntry], problems: Sequence[str] = ()
) -> ClassReport:
    """Return the report of a class; ``people`` are processed one by one, and none is kept in
    memory.

    entries: notes and agreed actions. Raises ValueError if nobody has a session.
    """
    sums, standard, found = _Sums(), standard_in(entries), []
    for name, facts in people:
        facts = Facts(facts.sessions, with_own_pace(facts.items), facts.flights)
        changes = changes_of(facts.sessions, facts.items)
        own = likely_of(facts.items, changes)
        sums.add(name, facts, own)
        found.append(_person(name, facts, own, changes, _Agreed(entries, standard)))
    if not found:
        raise ValueError("nobody has a session")
    shares = sums.likely.shares()
    faults = with_likely(sums.faults.faults(), shares)
    broken = {fault.place for fault in faults}
    return ClassReport(
        people=tuple(
            _without(person, broken) for person in sorted(found, key=lambda p: p.name.casefold())
        ),
        items=_items(sums, broken, shares),
        faults=faults,
        standard=standard,
        actions=open_actions(entries),
        notes=tuple(e for e in entries_about(entries, "") if e.kind is EntryKind.NOTE),
        first=sums.days[0],
        last=sums.days[1],
        problems=tuple(problems),
    )


@dataclass(frozen=True, slots=True)
class _Agreed:
    entries: Sequence[ClassEntry]
    standard: Standard | None


def _person(
    name: str,
    facts: Facts,
    own_shares: OwnLikely,
    changes: Sequence[TrendChange],
    agreed: _Agreed,
) -> ClassPerson:
    entries, standard = agreed.entries, agreed.standard
    count = standard.sessions if standard else LATEST
    latest = {s.session_id for s in facts.sessions[-count:]}
    recent = [i for i in facts.items if i.session_id in latest]
    own = cause_rate(recent, Cause.ANY)
    critical = sum(cause_happened(i, Cause.ANY) for i in recent if i.critical and i.met)
    person = facts.sessions[0].person
    findings = own_shares.told(findings_of(person, facts.items, paces_of(facts.items)))
    mine = tuple(entries_about(entries, name))
    return ClassPerson(
        name=name,
        sessions=len(facts.sessions),
        any=cause_rate(facts.items, Cause.ANY),
        recent=own,
        critical=critical,
        reached=standard_reached(standard, own, critical, len(facts.sessions)),
        changes=tuple(changes),
        findings=tuple(f for f in findings if f.kind is not TrendKind.BETTER),
        better=tuple(f for f in findings if f.kind is TrendKind.BETTER),
        power=power_of(facts.items),
        actions=tuple(a for a in open_actions(entries) if a in mine),
        notes=tuple(e for e in mine if e.kind is EntryKind.NOTE),
    )


def _without(person: ClassPerson, broken: set[TrendPlace]) -> ClassPerson:
    return replace(person, findings=tuple(f for f in person.findings if f.place not in broken))


def _items(sums: _Sums, broken: set[TrendPlace], shares: Shares) -> tuple[ClassItem, ...]:
    found = [
        ClassItem(
            place,
            one.last.challenge,
            one.last.critical,
            Rate(one.hits, one.total),
            one.people,
            one.of_people,
            place in broken,
            shares[place],
        )
        for place, one in sums.items.items()
        if one.hits
    ]
    found.sort(key=lambda item: (not item.critical, -item.likely.share, str(item.place)))
    return tuple(some_of_both(found, MOST_ITEMS))
