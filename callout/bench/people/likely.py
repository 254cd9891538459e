"""``callout bench likely``: are likely shares nearer to the truth than counted ones?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import click
import numpy as np

from callout.bench.truths import APART, ITEMS, LISTS, SLOPES, SPREADS, USUAL, MadeUp, made_up
from callout.core.debrief.likely import Likely
from callout.core.debrief.rates import Rate
from callout.core.sentences.commands import benches as sentences
from callout.reporting.hierarchy import Meetings, slope_of
from callout.reporting.likely_of_many import LikelyOfMany
from callout.reporting.likely_shares import Drift, chance_of, likely_shares

Numbers = Any
CLASSES = {"3 people": (3, 60), "12 people": (12, 60), "40 people, few sessions": (40, 20)}
"""People of an invented class, and the most sessions of one; the fewest are 5."""
OWN = (0.3, 0.7, 1.0)
"""Spread of each person's own effect at an item, in log odds."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """What is known of one person's, or one class's, items."""

    truth: Numbers
    likely: Sequence[Likely]
    counted: Sequence[Rate]

    def row(self) -> tuple[float, ...]:
        """Return what the intervals hold, squared errors and lengths, each likely and counted."""
        ends = np.array([(one.low, one.high) for one in self.likely])
        old = np.array([one.interval for one in self.counted])
        shares = np.array([one.share for one in self.likely])
        raw = np.array([one.share for one in self.counted])
        return (
            *(
                float(np.mean((e[:, 0] <= self.truth) & (self.truth <= e[:, 1])))
                for e in (ends, old)
            ),
            *(float(np.mean((s - self.truth) ** 2)) for s in (shares, raw)),
            *(float(np.mean(e[:, 1] - e[:, 0])) for e in (ends, old)),
        )


@click.command("likely")
@click.option("--people", default=200, show_default=True, help=sentences.TRUTHS_PEOPLE)
@click.option("--sessions", default=60, show_default=True, help=sentences.TRUTHS_SESSIONS)
@click.option("--first", default=0, show_default=True, help=sentences.LIKELY_FIRST)
@click.option("--classes", default=40, show_default=True, help=sentences.LIKELY_CLASSES)
@click.option("--usual", default=USUAL, show_default=True, help=sentences.LIKELY_USUAL)
@click.option("--apart", default=APART, show_default=True, help=sentences.LIKELY_APART)
def command(
    people: int, sessions: int, first: int, classes: int, usual: float, apart: float
) -> None:
    """Invent people and classes whose truth is known; compare counted and likely shares of items.

    Truth: the share of an item in an average session over the whole time.
    """
    click.echo(sentences.persons_a_cell(people, sessions, ITEMS))
    for kind in SLOPES:
        for spread in SPREADS:
            who = range(first, first + people)
            years = (made_up(kind, spread, sessions, n, usual, apart) for n in who)
            found = [weighed(year) for year in years]
            click.echo(
                f"{kind:<17} session spread {spread:.1f}: {told(found)}{_weakest(found, kind)}"
            )
    for name, (count, most) in CLASSES.items():
        for own in OWN if classes else ():
            many = [weighed_class(first + n, count, most, own) for n in range(classes)]
            click.echo(f"class, {name}, spread at an item {own:.1f}: {told(many)}")


def weighed(year: MadeUp) -> Weighed:
    """Return what one person's year says of each item."""
    slope = slope_of(year.meetings)
    drift = Drift(slope.change, (slope.high - slope.low) / 3.92) if slope else Drift()
    found = likely_shares(year.meetings, drift).items
    return Weighed(year.shares, found, _counted(year.meetings))


def _counted(met: Meetings) -> list[Rate]:
    runs, slips = np.bincount(met.items), np.bincount(met.items, met.happened)
    return [Rate(int(k), int(n)) for k, n in zip(slips, runs, strict=True)]


def told(found: Sequence[Weighed]) -> str:
    """Return a line of results."""
    rows = np.array([one.row() for one in found])
    means = rows.mean(axis=0)
    error = 100 * rows[:, 0].std() / len(rows) ** 0.5
    return (
        f"95 % intervals hold {100 * means[0]:.1f} +- {error:.1f} %, counted "
        f"{100 * means[1]:.1f} %; error (points, root mean square) "
        f"{100 * means[2] ** 0.5:.2f}, counted {100 * means[3] ** 0.5:.2f}; length of interval "
        f"{100 * means[4]:.1f}, counted {100 * means[5]:.1f}"
    )


def _weakest(found: Sequence[Weighed], kind: str) -> str:
    if kind != "one weak item":
        return ""
    worst = [(one, int(np.argmax(one.truth))) for one in found]
    holds = np.mean([one.likely[n].low <= one.truth[n] <= one.likely[n].high for one, n in worst])
    shares = (np.mean([one.truth[n] for one, n in worst]),
              np.mean([one.likely[n].share for one, n in worst]),
              np.mean([one.counted[n].share for one, n in worst]))  # fmt: skip
    return sentences.worst_item(100 * float(holds), *(100 * float(share) for share in shares))


def weighed_class(seed: int, people: int, most: int, apart: float) -> Weighed:
    """Return what an invented class says of each item."""
    chance, spread = np.random.default_rng(seed), 0.5
    level, many = chance.normal(-3.0, 0.8, LISTS * ITEMS), LikelyOfMany[int]()
    true: list[list[float]] = [[] for _ in level]
    hits, runs = np.zeros(len(level)), np.zeros(len(level))
    nodes, weights = np.polynomial.hermite_e.hermegauss(15)
    for _ in range(people):
        own = level + chance.normal(0, 0.6) + chance.normal(0, apart, len(level))
        sessions = int(chance.integers(5, most + 1))
        lists = chance.integers(LISTS, size=sessions)
        items = (lists[:, None] * ITEMS + np.arange(ITEMS)).ravel()
        session = np.repeat(np.arange(sessions), ITEMS)
        line = own[items] + chance.normal(0, spread, sessions)[session]
        happened = chance.random(len(items)) < chance_of(line)
        known, numbers = np.unique(items, return_inverse=True)
        _, groups = np.unique(known // ITEMS, return_inverse=True)
        met = Meetings(happened, session / sessions, numbers, groups[numbers], session)
        usual, counted = likely_shares(met, Drift()).usual, _counted(met)
        many.add(usual, [(int(k), int(k) // ITEMS, r) for k, r in zip(known, counted, strict=True)])
        for k in known:
            true[k].append(float(weights @ chance_of(own[k] + spread * nodes) / weights.sum()))
        hits += np.bincount(items, happened, len(level))
        runs += np.bincount(items, minlength=len(level))
    shares = many.shares()
    counts = [Rate(int(hits[k]), int(runs[k])) for k in sorted(shares)]
    truth = np.array([np.mean(true[k]) for k in sorted(shares)])
    return Weighed(truth, [shares[k] for k in sorted(shares)], counts)
