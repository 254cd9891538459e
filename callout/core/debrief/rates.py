"""How often something went wrong, by item, list, phase, person and cause."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import TypeVar

from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import Facts, ItemFact, SessionFact
from callout.core.model.intervals import Z_95, t_95, wilson_interval

K = TypeVar("K", bound=Hashable)


class Cause(Enum):
    """What is counted at an item."""

    ANY = "any deviation"
    OMITTED = "omitted"
    WRONG = "wrong reply"
    NOT_SET = "said, not set"
    FAST = "too fast to have looked"
    ORDER = "out of order"
    UNCLEAR = "unclear"
    SLOW = "slow"


_CLASS = {
    Cause.OMITTED: Deviation.OMITTED,
    Cause.WRONG: Deviation.MISMATCHED,
    Cause.NOT_SET: Deviation.NOT_SET,
    Cause.FAST: Deviation.TOO_FAST,
    Cause.ORDER: Deviation.OUT_OF_SEQUENCE,
}


def cause_happened(item: ItemFact, cause: Cause) -> bool:
    """Say whether ``cause`` happened at ``item``."""
    if cause is Cause.ANY:
        return any(d is not Deviation.TOO_FAST for d in item.deviations)
    if cause is Cause.UNCLEAR:
        return item.unclear > 0
    if cause is Cause.SLOW:
        return item.slow
    return _CLASS[cause] in item.deviations


@dataclass(frozen=True, slots=True)
class Rate:
    """How often something happened, out of the times it could have."""

    hits: int
    """Meetings in which it happened."""
    total: int
    """Meetings in all."""
    spread: float = 1.0
    """Variance relative to independent trials: meetings of one session are alike."""
    freedom: int = 0
    """Sessions minus one, if that matters; 0: trials are independent."""

    @property
    def share(self) -> float:
        """Return hits over total; 0 for no trials."""
        return self.hits / self.total if self.total else 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """Return the 95 % Wilson interval, widened by the variation between sessions."""
        z = t_95(self.freedom) if self.freedom else Z_95
        return wilson_interval(self.hits / self.spread, self.total / self.spread, z)


def cause_rate(items: Iterable[ItemFact], cause: Cause) -> Rate:
    """Return how often ``cause`` happened at the items that were met."""
    return clustered_rate(
        [(item.session_id, cause_happened(item, cause)) for item in items if item.met]
    )


def clustered_rate(trials: Sequence[tuple[str, bool]]) -> Rate:
    """Return a rate whose interval treats sessions as clusters (Dean and Pagano 2015: the score
    interval at the effective number of trials, with the quantile of Student's t).
    """
    hits, total = sum(hit for _, hit in trials), len(trials)
    sessions: dict[str, float] = {}
    for session, hit in trials:
        sessions[session] = sessions.get(session, 0.0) + hit - hits / total
    count = len(sessions)
    if count == total or count < 2 or hits in (0, total):
        return Rate(hits, total)
    apart = hits * (total - hits) / total
    spread = count / (count - 1) * sum(e * e for e in sessions.values()) / apart
    return Rate(hits, total, max(1.0, spread), count - 1)


def grouped_rates(
    items: Iterable[ItemFact], key: Callable[[ItemFact], K], cause: Cause
) -> dict[K, Rate]:
    """Return the rate of each group of items, in order of appearance."""
    groups: dict[K, list[tuple[str, bool]]] = defaultdict(list)
    for item in items:
        if item.met:
            groups[key(item)].append((item.session_id, cause_happened(item, cause)))
    return {name: clustered_rate(trials) for name, trials in groups.items()}


def group_items(items: Iterable[ItemFact], key: Callable[[ItemFact], K]) -> dict[K, list[ItemFact]]:
    """Return items in groups, each in the given order."""
    groups: dict[K, list[ItemFact]] = defaultdict(list)
    for item in items:
        groups[key(item)].append(item)
    return groups


@dataclass(frozen=True, slots=True)
class SessionChoice:
    """Which sessions count; empty or None: all."""

    person: str | None = None
    aircraft: str = ""
    list_id: str = ""
    phase: str = ""
    since: datetime | None = None
    until: datetime | None = None
    """Exclusive end."""

    def takes(self, session: SessionFact) -> bool:
        """Say whether ``session`` counts."""
        return (
            (self.person is None or session.person.casefold() == self.person.casefold())
            and self.aircraft.casefold() in session.aircraft.casefold()
            and self.list_id in ("", session.list_id)
            and self.phase in ("", session.phase)
            and (self.since is None or session.began >= self.since)
            and (self.until is None or session.began < self.until)
        )


def chosen_facts(facts: Facts, choice: SessionChoice) -> Facts:
    """Return the rows of the sessions that count."""
    sessions = tuple(s for s in facts.sessions if choice.takes(s))
    ids = {s.session_id for s in sessions}
    flights = {s.flight for s in sessions}
    return Facts(
        sessions,
        tuple(i for i in facts.items if i.session_id in ids),
        tuple(f for f in facts.flights if f.flight in flights),
    )


def whole_lists(facts: Facts) -> dict[Deviation, Rate]:
    """Return how often a list was not completed, called at the wrong time, or not called for.

    The second is relative to the lists called for in flights, the third to the flights that ended.
    """
    incomplete = [Deviation.INCOMPLETE in s.deviations for s in facts.sessions]
    early = [Deviation.WRONG_TIME in s.deviations for s in facts.sessions if s.flight]
    forgotten = [bool(f.never_started) for f in facts.flights if f.finished]
    found = {
        Deviation.INCOMPLETE: incomplete,
        Deviation.WRONG_TIME: early,
        Deviation.NEVER_STARTED: forgotten,
    }
    return {kind: Rate(sum(hits), len(hits)) for kind, hits in found.items()}


def by_session(items: Sequence[ItemFact], cause: Cause) -> dict[str, Rate]:
    """Return the rate of each session, in the order given."""
    return grouped_rates(items, lambda item: item.session_id, cause)


def month_of(moment: datetime) -> str:
    """Return "2031-05"."""
    return f"{moment:%Y-%m}"
