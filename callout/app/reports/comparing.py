"""Two groups of items set against each other, by the model that tells changes too."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from itertools import combinations
from math import exp, log
from typing import Final

from callout.core.debrief.facts import ItemFact
from callout.core.debrief.rates import Cause, Rate, by_session, cause_happened, cause_rate
from callout.core.debrief.trends import LEVEL, Compared
from callout.core.sentences import reports as sentences
from callout.reporting import significance as sig
from callout.reporting.hierarchy import Meetings, slope_of

MOST_TIMES: Final = 1000.0
"""A ratio beyond this only shows that next to nothing is known."""
Alike = Callable[[ItemFact], Hashable]
_ALIKE: Final[tuple[tuple[str, Alike], ...]] = (
    (sentences.SAME_PERSON_AND_ITEM, lambda i: (i.person, i.list_id, i.item_id)),
    (sentences.SAME_PERSON_AND_AIRCRAFT, lambda i: (i.person, i.aircraft)),
    (sentences.SAME_PERSON, lambda i: i.person),
    (sentences.SAME_AIRCRAFT, lambda i: i.aircraft),
    (sentences.NOTHING_ALIKE, lambda i: ""),
)
"""What is held alike, in words, the first that leaves something to compare."""
_FEWEST: Final = 0.5
"""Share of each group that must have a counterpart for that."""
Groups = Mapping[str, Sequence[ItemFact]]


def compared_pairs(groups: Groups) -> tuple[Compared, ...]:
    """Return every pair of groups, the surest difference first; Holm's correction for all pairs."""
    met = {name: [i for i in group if i.met] for name, group in groups.items() if name}
    pairs = [(a, b) for a, b in combinations(met, 2) if met[a] and met[b]]
    found = [compared_pair(a, b, met[a], met[b]) for a, b in pairs]
    adjusted = sig.holm_adjusted([one.p for one in found])
    rows = (one.judged(p) for one, p in zip(found, adjusted, strict=True))
    return tuple(sorted(rows, key=lambda c: c.p))


def compared_pair(
    first: str, second: str, one: Sequence[ItemFact], other: Sequence[ItemFact]
) -> Compared:
    """Return whether the second group goes wrong more, or less, where all else is alike."""
    one, other = _without_shared(one, other)
    rates = cause_rate(one, Cause.ANY), cause_rate(other, Cause.ANY)
    blank = Compared(first, second, *rates)
    if not (one and other):
        return blank
    if not (rates[0].hits or rates[1].hits):
        return blank.measured(alike="", least_share=_least_share(*rates))
    words, alike = next((w, a) for w, a in _ALIKE if _overlap(one, other, a) >= _FEWEST)
    found = slope_of(_meetings(one, other, alike))
    if found is None:
        return blank
    p = found.p
    if any(_one_sided(rate) for rate in rates):  # there the odds have no error to be told by
        p = max(found.score, sig.differ_in_sessions(_tallies(one), _tallies(other)))
        return blank.measured(p=p, alike=words, least_share=_least_share(*rates))
    return blank.measured(
        p=p,
        alike=words,
        times=limited_times(found.change),
        low=limited_times(found.low),
        high=limited_times(found.high),
        least=limited_times(found.least()),
    )


def _without_shared(
    one: Sequence[ItemFact], other: Sequence[ItemFact]
) -> tuple[Sequence[ItemFact], Sequence[ItemFact]]:
    """Return two groups without common meetings: an item against the rest of its list."""
    shared = {id(i) for i in one} & {id(i) for i in other}
    if not shared:
        return one, other
    if len(one) >= len(other):
        return [i for i in one if id(i) not in shared], other
    return one, [i for i in other if id(i) not in shared]


def _overlap(one: Sequence[ItemFact], other: Sequence[ItemFact], alike: Alike) -> float:
    """Return the share of the meetings that have a counterpart, of the group with fewer such."""
    both = {alike(i) for i in one} & {alike(i) for i in other}
    return min(sum(alike(i) in both for i in group) / len(group) for group in (one, other))


def _meetings(one: Sequence[ItemFact], other: Sequence[ItemFact], alike: Alike) -> Meetings:
    """The group stands where the time stands in a change: 0 for the first, 1 for the second."""
    both = {alike(i) for i in one} & {alike(i) for i in other}
    rows = [(i, n) for n, group in enumerate((one, other)) for i in group if alike(i) in both]
    return Meetings(
        happened=[float(cause_happened(i, Cause.ANY)) for i, _ in rows],
        days=[float(n) for _, n in rows],
        items=number_keys([alike(i) for i, _ in rows]),
        lists=number_keys([i.aircraft for i, _ in rows]),
        sessions=number_keys([i.session_id for i, _ in rows]),
    )


def number_keys(keys: Sequence[Hashable]) -> list[int]:
    """Return a number for each key, equal ones the same, from 0."""
    known: dict[Hashable, int] = {}
    return [known.setdefault(key, len(known)) for key in keys]


def _one_sided(rate: Rate) -> bool:
    return rate.hits in (0, rate.total)


def _least_share(one: Rate, other: Rate) -> float:
    """Return the share in the second group that Fisher's test would tell from none in the first.

    0: the first has some, or none would be enough.
    """
    if one.hits and other.hits:
        return 0.0
    empty, total = (one.total, other.total) if not one.hits else (other.total, one.total)
    enough = (k for k in range(1, total + 1) if sig.rates_differ(0, empty, k, total) <= LEVEL)
    return next(enough, 0) / total


def _tallies(items: Sequence[ItemFact]) -> list[tuple[int, int]]:
    return [(r.hits, r.total) for r in by_session(items, Cause.ANY).values()]


def limited_times(change: float) -> float:
    """Return a change of log odds, or of the logarithm of seconds, as so many times."""
    return exp(max(-log(MOST_TIMES), min(log(MOST_TIMES), change)))
