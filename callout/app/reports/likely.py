"""How often items probably go wrong: of one person by that person's own sessions, of a class by
everybody's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from math import log

from callout.app.reports.changing import WHAT
from callout.app.reports.comparing import number_keys
from callout.app.reports.standing_out import HABITS, place_of
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.likely import Likely
from callout.core.debrief.rates import Cause, cause_happened, grouped_rates
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
            if happened is not None:
                if one.kind not in tables:
                    tables[one.kind] = _shares(self.items, happened, self.drift)[0]
                one = replace(one, likely=tables[one.kind][one.place])
            found.append(one)
        return tuple(sorted(found, key=TrendFinding.order))


def _wrong_or_omitted(item: ItemFact) -> bool:
    return cause_happened(item, Cause.WRONG) or cause_happened(item, Cause.OMITTED)


def _any(item: ItemFact) -> bool:
    return cause_happened(item, Cause.ANY)


def _caused_by(cause: Cause) -> Happened:
    return lambda item: cause_happened(item, cause)


_HAPPENED = {kind: _caused_by(cause) for kind, cause in HABITS.items()} | dict.fromkeys(
    (TrendKind.BETTER, TrendKind.WORSE), _wrong_or_omitted
)


def likely_of(items: Sequence[ItemFact], changes: Sequence[TrendChange]) -> OwnLikely:
    """Return what one person's items make probable; ``changes`` are those of the same person."""
    met = [item for item in items if item.met]
    drift = _drift_in(changes)
    shares, usual = _shares(met, _any, drift) if met else ({}, 0.0)
    return OwnLikely(met, drift, shares, usual)


def _drift_in(changes: Sequence[TrendChange]) -> Drift:
    for change in changes:
        if change.what == WHAT[0] and change.high:
            error = log(change.high / change.low) / (2 * Z_95)
            return Drift(log(change.times), max(_LEAST_ERROR, error))
    return Drift()


def _shares(items: Sequence[ItemFact], happened: Happened, drift: Drift) -> tuple[Shares, float]:
    first, last = min(i.began for i in items), max(i.began for i in items)
    span = max((last - first) / timedelta(days=1), 1e-9)
    places = [place_of(i) for i in items]
    met = Meetings(
        happened=[float(happened(i)) for i in items],
        days=[(i.began - first) / timedelta(days=1) / span for i in items],
        items=number_keys(places),
        lists=number_keys([(i.aircraft, i.list_id) for i in items]),
        sessions=number_keys([i.session_id for i in items]),
    )
    found = likely_shares(met, drift)
    return dict(zip(dict.fromkeys(places), found.items, strict=True)), found.usual


@dataclass(slots=True)
class LikelySums:
    """A class, added one person at a time."""

    many: LikelyOfMany[TrendPlace] = field(default_factory=LikelyOfMany)
    only: Shares = field(default_factory=dict)
    people: int = 0

    def add(self, own: OwnLikely) -> None:
        """Add a person."""
        rates = grouped_rates(own.items, place_of, Cause.ANY)
        met = [(place, (place.aircraft, place.list_id), rate) for place, rate in rates.items()]
        self.many.add(own.usual, met)
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
