"""Several trainees side by side, with what small numbers can and cannot show."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import product
from math import comb, sqrt
from statistics import NormalDist, median

from callout.core.checklist_run.causes import Ending
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import Facts, ItemFact
from callout.core.debrief.rates import Cause, Rate, cause_rate
from callout.core.model import intervals
from callout.core.model.intervals import Z_95, t_95

LEVEL = 0.95
_ONE_SIDE = 40
"""One in this many lies beyond a bound on either side, at 95 %."""
_EXACT_TO = 500
"""Number of times up to which the bounds are exact; beyond, the normal distribution is used."""
ENOUGH = 20
"""Items below which a share is not compared: none wrong of 20 still allows 16 % (Wilson)."""
ENOUGH_AT_ITEM = 8
"""The same for one item, where sessions are fewer."""


class TraineeStanding(Enum):
    """How a share compares with that of all the others together."""

    ALONE = "alone"
    TOO_FEW = "too-few"
    NO_DIFFERENCE = "no-difference"
    """None that the numbers show, which does not prove that there is none."""
    MORE = "more"
    FEWER = "fewer"


@dataclass(frozen=True, slots=True)
class Share:
    """Items with a deviation among those met."""

    wrong: int
    met: int
    spread: float = 1.0
    """Variance relative to independent trials: items of one session are alike."""
    freedom: int = 0
    """Sessions minus one, if that matters."""

    @property
    def interval(self) -> tuple[float, float]:
        """Wilson interval, 95 %, with sessions as clusters."""
        return Rate(self.wrong, self.met, self.spread, self.freedom).interval

    @property
    def alone(self) -> tuple[float, float]:
        """Hits and trials with the same information if they were independent."""
        wide = self.spread * ((t_95(self.freedom) / Z_95) ** 2 if self.freedom else 1.0)
        return self.wrong / wide, self.met / wide


@dataclass(frozen=True, slots=True)
class TraineeTimes:
    """Reply times in seconds."""

    count: int
    middle: float | None
    """Median; None without replies."""
    low: float | None
    """Bounds of the median, 95 %, from the order of the times alone; None if there are too few."""
    high: float | None


@dataclass(frozen=True, slots=True)
class TraineeRow:
    """One trainee."""

    name: str
    sessions: int
    completed: int
    """Sessions that ended complete."""
    share: Share
    standing: TraineeStanding
    difference: tuple[float, float]
    """Interval of this share minus that of all the others, corrected for the number of
    comparisons.
    """
    causes: Mapping[Deviation, int]
    """Items by class of deviation."""
    times: TraineeTimes


@dataclass(frozen=True, slots=True)
class ItemRow:
    """One item where one trainee differs from the others."""

    name: str
    aircraft: str
    list_id: str
    item_id: str
    challenge: str
    title: str
    """Of the list."""
    own: Share
    others: Share
    standing: TraineeStanding


@dataclass(frozen=True, slots=True)
class TraineeComparison:
    """Everything side by side; trainees in order of name, since a ranking would claim more than the
    numbers show.
    """

    trainees: tuple[TraineeRow, ...]
    items: tuple[ItemRow, ...]
    item_comparisons: int
    """Number of comparisons made at single items."""


def compare_trainees(groups: Mapping[str, Facts]) -> TraineeComparison:
    """Return the trainees of ``groups`` (facts by name) side by side."""
    names = sorted(groups, key=str.casefold)
    shares = {name: _error_share(groups[name].items) for name in names}
    rows = tuple(_trainee_row(name, groups[name], shares) for name in names)
    items, count = _item_rows(groups, names)
    return TraineeComparison(rows, items, count)


def newcombe_interval(a: Share, b: Share, z: float) -> tuple[float, float]:
    """Return the interval of a's share minus b's: Newcombe's hybrid of two score intervals, each at
    its effective number of trials.

    Newcombe, Statistics in Medicine 17:873-890 (1998), method 10.
    """
    return intervals.difference_interval(a.alone, b.alone, z)


def z_for(comparisons: int, level: float = LEVEL) -> float:
    """Return the normal quantile at which ``comparisons`` intervals hold together (Bonferroni)."""
    return NormalDist().inv_cdf(1 - (1 - level) / (2 * max(1, comparisons)))


def times_of(seconds: Iterable[float]) -> TraineeTimes:
    """Return the median and its bounds from the order statistics.

    Sign-test interval (Conover, Practical Nonparametric Statistics): it assumes no shape.
    """
    ordered = sorted(seconds)
    count = len(ordered)
    if not count:
        return TraineeTimes(0, None, None, None)
    depth = _bound_depth(count)
    if depth is None:
        return TraineeTimes(count, median(ordered), None, None)
    return TraineeTimes(count, median(ordered), ordered[depth - 1], ordered[count - depth])


def _bound_depth(count: int) -> int | None:
    """Return which value from either end bounds the median; None if there are too few."""
    if count > _EXACT_TO:
        return int((count - Z_95 * sqrt(count)) / 2)
    depth, below = 0, 1
    while below * _ONE_SIDE <= 2**count:
        depth += 1
        below += comb(count, depth)
    return depth or None


def _error_share(items: Iterable[ItemFact]) -> Share:
    found = cause_rate(items, Cause.ANY)
    return Share(found.hits, found.total, found.spread, found.freedom)


def _share_without(name: str, shares: Mapping[str, Share]) -> Share:
    others = [share for other, share in shares.items() if other != name and share.met]
    met = sum(s.met for s in others)
    spread = sum(s.spread * s.met for s in others) / met if met else 1.0
    return Share(sum(s.wrong for s in others), met, spread, sum(s.freedom for s in others))


def _trainee_row(name: str, facts: Facts, shares: Mapping[str, Share]) -> TraineeRow:
    own, others = shares[name], _share_without(name, shares)
    met = [item for item in facts.items if item.met]
    causes = {d: sum(d in item.deviations for item in met) for d in Deviation}
    z = z_for(len(shares) if len(shares) > 2 else 1)
    return TraineeRow(
        name=name,
        sessions=len(facts.sessions),
        completed=sum(s.ending is Ending.COMPLETED for s in facts.sessions),
        share=own,
        standing=TraineeStanding.ALONE
        if len(shares) < 2
        else _trainee_standing(own, others, z, ENOUGH),
        difference=newcombe_interval(own, others, z),
        causes={d: n for d, n in causes.items() if n},
        times=times_of(i.reply_seconds for i in met if i.reply_seconds is not None),
    )


def _trainee_standing(own: Share, others: Share, z: float, enough: int) -> TraineeStanding:
    if min(own.met, others.met) < enough:
        return TraineeStanding.TOO_FEW
    low, high = newcombe_interval(own, others, z)
    if low > 0:
        return TraineeStanding.MORE
    return TraineeStanding.FEWER if high < 0 else TraineeStanding.NO_DIFFERENCE


Key = tuple[str, str, str]


def _item_rows(
    groups: Mapping[str, Facts], names: Sequence[str]
) -> tuple[tuple[ItemRow, ...], int]:
    found: dict[Key, dict[str, list[ItemFact]]] = defaultdict(lambda: defaultdict(list))
    for name in names:
        for item in groups[name].items:
            found[item.aircraft, item.list_id, item.item_id][name].append(item)
    shares = {key: {n: _error_share(i) for n, i in by.items()} for key, by in found.items()}
    tried = [
        (key, name)
        for key, name in product(shares, names)
        if name in shares[key]
        and min(shares[key][name].met, _share_without(name, shares[key]).met) >= ENOUGH_AT_ITEM
    ]
    pairs = [(shares[key][name], _share_without(name, shares[key])) for key, name in tried]
    z = intervals.z_of_many([intervals.newcombe_p(a.alone, b.alone) for a, b in pairs])
    rows = []
    for (key, name), (own, others) in zip(tried, pairs, strict=True):
        standing = _trainee_standing(own, others, z, ENOUGH_AT_ITEM)
        if standing in (TraineeStanding.MORE, TraineeStanding.FEWER):
            last = found[key][name][-1]
            title = last.title or last.list_id
            rows.append(ItemRow(name, *key, last.challenge, title, own, others, standing))
    return tuple(
        sorted(rows, key=lambda row: (row.name.casefold(), row.list_id, row.item_id))
    ), len(tried)
