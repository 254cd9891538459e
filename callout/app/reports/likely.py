"""How often items probably go wrong: of one person by that person's own sessions, of a class by
everybody's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from math import log

import numpy as np

from callout.app.reports.changing import WHAT
from callout.app.reports.comparing import number_keys
from callout.app.reports.standing_out import HABITS, place_of
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.likely import Likely
from callout.core.debrief.rates import Cause, Rate, cause_happened
from callout.core.debrief.trends import (
    ListFault,
    TrendChange,
    TrendFinding,
    TrendKind,
    TrendPlace,
)
from callout.core.model.intervals import Z_95
from callout.reporting.hierarchy import Meetings
from callout.reporting.likely_of_many import LikelyOfMany
from callout.reporting.likely_shares import Drift, likely_shares

Shares = dict[TrendPlace, Likely]
Happened = Callable[[ItemFact], bool]
_LEAST_ERROR = 0.1
"""Of a change; ratios are cut off where they say next to nothing."""


@dataclass(frozen=True, slots=True)
class OwnLikely:
    """What is probable of one person; nobody else plays a part in it."""

    items: Sequence[ItemFact]
    """Those that were met."""
    places: Sequence[TrendPlace]
    """Of the items, by their number."""
    met: Meetings | None
    """The items, with any deviation as what happened; None: there are none."""
    drift: Drift
    shares: Shares
    """Of any deviation, by place."""
    usual: float

    def told(self, findings: Sequence[TrendFinding]) -> tuple[TrendFinding, ...]:
        """Return the findings with their likely shares, what matters most first."""
        tables: dict[TrendKind, Shares] = {}
        found = []
        for one in findings:
            happened = _HAPPENED.get(one.kind)
            if happened is not None and self.met is not None:
                if one.kind not in tables:
                    met = replace(self.met, happened=[float(happened(i)) for i in self.items])
                    shares = likely_shares(met, self.drift).items
                    tables[one.kind] = dict(zip(self.places, shares, strict=True))
                one = replace(one, likely=tables[one.kind][one.place])
            found.append(one)
        return tuple(sorted(found, key=TrendFinding.order))

    def counted(self) -> list[tuple[TrendPlace, tuple[str, str], Rate]]:
        """Return each place with its list, and how often it went wrong."""
        if self.met is None:
            return []
        runs, slips = np.bincount(self.met.items), np.bincount(self.met.items, self.met.happened)
        return [
            (place, (place.aircraft, place.list_id), Rate(int(slip), int(run)))
            for place, slip, run in zip(self.places, slips, runs, strict=True)
        ]


def _wrong_or_omitted(item: ItemFact) -> bool:
    return cause_happened(item, Cause.WRONG) or cause_happened(item, Cause.OMITTED)


def _caused_by(cause: Cause) -> Happened:
    return lambda item: cause_happened(item, cause)


_HAPPENED = {kind: _caused_by(cause) for kind, cause in HABITS.items()} | dict.fromkeys(
    (TrendKind.BETTER, TrendKind.WORSE), _wrong_or_omitted
)


def likely_of(items: Sequence[ItemFact], changes: Sequence[TrendChange]) -> OwnLikely:
    """Return what one person's items make probable; ``changes`` are those of the same person."""
    met, drift = [item for item in items if item.met], _drift_in(changes)
    if not met:
        return OwnLikely((), (), None, drift, {}, 0.0)
    places = [place_of(item) for item in met]
    known, meetings = tuple(dict.fromkeys(places)), _meetings(met, places)
    found = likely_shares(meetings, drift)
    shares = dict(zip(known, found.items, strict=True))
    return OwnLikely(met, known, meetings, drift, shares, found.usual)


def _drift_in(changes: Sequence[TrendChange]) -> Drift:
    for change in changes:
        if change.what == WHAT[0] and change.high:
            error = log(change.high / change.low) / (2 * Z_95)
            return Drift(log(change.times), max(_LEAST_ERROR, error))
    return Drift()


def _meetings(items: Sequence[ItemFact], places: Sequence[TrendPlace]) -> Meetings:
    first, last = min(i.began for i in items), max(i.began for i in items)
    span = max((last - first) / timedelta(days=1), 1e-9)
    return Meetings(
        happened=[float(cause_happened(i, Cause.ANY)) for i in items],
        days=[(i.began - first) / timedelta(days=1) / span for i in items],
        items=number_keys(places),
        lists=number_keys([(i.aircraft, i.list_id) for i in items]),
        sessions=number_keys([i.session_id for i in items]),
    )


@dataclass(slots=True)
class LikelySums:
    """A class, added one person at a time."""

    many: LikelyOfMany[TrendPlace] = field(default_factory=LikelyOfMany)
    only: Shares = field(default_factory=dict)
    people: int = 0

    def add(self, own: OwnLikely) -> None:
        """Add a person."""
        self.many.add(own.usual, own.counted())
        self.people, self.only = self.people + 1, own.shares

    def shares(self) -> Shares:
        """Return the shares of the class; of a single person, that person's own."""
        if self.people == 1:
            return self.only
        return self.many.shares()


def with_likely(faults: Sequence[ListFault], shares: Shares) -> tuple[ListFault, ...]:
    """Return faults of lists with their likely shares, critical ones first, then the likeliest."""
    found = [replace(fault, likely=shares[fault.place]) for fault in faults]
    found.sort(key=lambda f: (not f.critical, -shares[f.place].share, str(f.place)))
    return tuple(found)
