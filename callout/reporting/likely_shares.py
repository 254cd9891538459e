"""How often an item probably goes wrong, where few runs have been seen.

The same model as in ``hierarchy.py`` (items drawn towards their list, lists towards one another,
time, sessions as clusters), but with the whole distribution of each item's share in place of the
best value: where slips are rare, that is lopsided. Every quantity lies on a grid of log odds, so
that sums take the place of a search; the same sums hold for one session and for a thousand, and
without any run they give what was assumed. Items that differ far from the rest of their list are
expected now and then (Student's t in place of the normal distribution: O'Hagan, J. R. Statist. Soc.
B 41:358, 1979). What other items say is given less weight if their slips come in the same sessions
(Pauli, Racugno and Ventura, Statistica Sinica 21:149, 2011); an item's own runs come one a session.

Only constants and the given meetings are used: nothing about anybody else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from callout.core.debrief.likely import Likely
from callout.reporting.hierarchy import Meetings

Numbers = Any
GRID = np.arange(-8.5, 5.51, 0.2)
"""Log odds of a slip: 1 in 5,000 to 249 in 250."""
USUAL, USUAL_SPREAD = -3.0, 1.3
"""What is assumed of a person of whom nothing is known: 1 slip in 20, or 1 in 250 to 2 in 5."""
ITEM_SPREADS, LIST_SPREADS = (0.3, 0.5, 0.75, 1.0, 1.4), (0.2, 0.5, 1.0)
"""Spread of the items of a list, and of lists, in log odds; equally probable before any run."""
_TAIL = 4.0
"""Degrees of freedom of the spread of items."""
CHANGE_SPREAD = 1.0
"""Spread of a person's change over the whole time, in log odds, before any run."""
NODES, WEIGHTS = (-1.7320508, 0.0, 1.7320508), (1 / 6, 2 / 3, 1 / 6)
"""Three values that stand for a normal distribution (Gauss and Hermite)."""
_USUAL_SESSIONS, _USUAL_ALIKE = 10.0, 1.2
"""How alike the slips of a session are assumed to be, and for how many sessions that counts."""
_FEWEST_AT_MIDDLE = 1e-300
_PARTS = 24
"""Parts of the time in which runs of an item are counted together."""


@dataclass(frozen=True, slots=True)
class Drift:
    """A person's change over the whole time, in log odds, as the model of change measured it."""

    change: float = 0.0
    error: float = float("inf")
    """Its standard error; infinite: nothing was measured."""

    def settled(self) -> tuple[float, float]:
        """Return the change drawn towards none, and its spread."""
        weight = CHANGE_SPREAD**2 / (CHANGE_SPREAD**2 + self.error**2)
        return weight * self.change if weight else 0.0, CHANGE_SPREAD * float(np.sqrt(1 - weight))


@dataclass(frozen=True, slots=True)
class LikelyShares:
    """What is probable of one person."""

    items: tuple[Likely, ...]
    """By number of the item: its share of slips over the whole time."""
    usual: float
    """Log odds of the person's usual list."""


def likely_shares(met: Meetings, drift: Drift) -> LikelyShares:
    """Return what one person's meetings make probable; ``days`` may run in any unit."""
    known = _Known(met)
    change, spread = drift.settled()
    alone, _ = settled(known.evidence(0.0), known.lists, 1.0)
    weight = 1 / known.alike(alone)
    parts, usual = [], 0.0
    for node, much in zip(NODES, WEIGHTS, strict=True):
        at = change + node * spread
        found, middle = settled(known.evidence(at), known.lists, weight)
        parts.append((known.average(at), much * found))
        usual += much * middle
    told = (mixture([(shares, rows[n]) for shares, rows in parts]) for n in range(known.count))
    return LikelyShares(tuple(told), usual)


class _Known:
    """The meetings of one person."""

    def __init__(self, met: Meetings) -> None:
        self.y = np.asarray(met.happened, dtype=float)
        self.item = np.asarray(met.items, dtype=int)
        self.session = np.asarray(met.sessions, dtype=int)
        self.count = int(self.item.max()) + 1
        self.lists = np.zeros(self.count, dtype=int)
        self.lists[self.item] = np.asarray(met.lists, dtype=int)
        days = np.asarray(met.days, dtype=float)
        whole = np.unique(self.session, return_index=True)[1]
        days = days - days[whole].mean()
        self.whole = np.quantile(days[whole], np.linspace(0.05, 0.95, 10))
        self._group(days)

    def _group(self, days: Numbers) -> None:
        """Count the runs of each item in each part of the time: few numbers, whatever the runs."""
        part = np.floor((days - days.min()) / max(1e-9, float(np.ptp(days))) * _PARTS)
        keys, group = np.unique(self.item * (_PARTS + 1) + part.astype(int), return_inverse=True)
        self.of_item = keys // (_PARTS + 1)
        self.runs = np.bincount(group)
        self.slips = np.bincount(group, self.y)
        self.day = np.bincount(group, days) / self.runs

    def evidence(self, change: float) -> Numbers:
        """Return the log likelihood of each item's runs, at each point of the grid."""
        line = GRID + change * self.day[:, None]
        log = self.slips[:, None] * line - self.runs[:, None] * np.logaddexp(0.0, line)
        found = np.zeros((self.count, len(GRID)))
        np.add.at(found, self.of_item, log)
        return found

    def average(self, change: float) -> Numbers:
        """Return the share over the whole time, at each point of the grid."""
        return chance_of(GRID + change * self.whole[:, None]).mean(axis=0)

    def alike(self, shares: Numbers) -> float:
        """Return how much more the slips of sessions vary than if each came by itself."""
        expected = (shares @ chance_of(GRID))[self.item]
        left = np.bincount(self.session, self.y - expected)
        seen = float(np.sum(left**2) / max(1e-9, np.sum(expected * (1 - expected))))
        count = len(left)
        pulled = _USUAL_SESSIONS * _USUAL_ALIKE + count * seen
        return max(1.0, pulled / (_USUAL_SESSIONS + count))


def settled(evidence: Numbers, lists: Numbers, weight: float) -> tuple[Numbers, float]:
    """Return the distribution of each item on the grid, a row each, and the usual log odds.

    evidence: log likelihood of each item on the grid. lists: number of the list of each item.
    weight: what an item's runs count for other items, relative to its own.
    """
    own = np.exp(evidence - evidence.max(axis=1, keepdims=True))
    kernels = [_spread_by(spread, _TAIL) for spread in ITEM_SPREADS]
    alone = [np.log(np.maximum(own @ k.T, _FEWEST_AT_MIDDLE)) for k in kernels]
    together = [_summed(weight * log, lists) for log in alone]
    middles, usual = _middles(together)
    found = np.zeros_like(own)
    for kernel, log, middle in zip(kernels, alone, middles, strict=True):
        found += (middle[lists] * np.exp(-weight * log)) @ kernel
    found *= own
    return found / found.sum(axis=1, keepdims=True), usual


def _middles(together: Sequence[Numbers]) -> tuple[list[Numbers], float]:
    """Return the weight of each value of each list's middle, for each spread of items; and the
    usual value of lists.
    """
    prior = _normal(GRID - USUAL, USUAL_SPREAD)
    kernels = [_spread_by(spread) for spread in LIST_SPREADS]
    logs = [
        [np.log(np.maximum(np.exp(one - top) @ k.T, _FEWEST_AT_MIDDLE)) + top for k in kernels]
        for one in together
        for top in [one.max(axis=1, keepdims=True)]
    ]
    whole = np.array([[log.sum(axis=0) + np.log(prior) for log in row] for row in logs])
    weights = np.exp(whole - whole.max())
    weights /= weights.sum()
    usual = float((weights.sum(axis=(0, 1)) * GRID).sum())
    found = []
    for row, one, weight in zip(logs, together, weights, strict=True):
        middle = np.zeros_like(one)
        for log, kernel, at in zip(row, kernels, weight, strict=True):
            middle += (at * np.exp(one.max(axis=1, keepdims=True) - log)) @ kernel
        found.append(middle * np.exp(one - one.max(axis=1, keepdims=True)))
    return found, usual


def _summed(rows: Numbers, lists: Numbers) -> Numbers:
    found = np.zeros((int(lists.max()) + 1, rows.shape[1]))
    np.add.at(found, lists, rows)
    return found


def _spread_by(spread: float, tail: float = 0.0) -> Numbers:
    """Return the weight of each value (column) around each middle (row)."""
    apart = GRID[None, :] - GRID[:, None]
    shape = (1 + (apart / spread) ** 2 / tail) ** (-(tail + 1) / 2) if tail else None
    found = _normal(apart, spread) if shape is None else shape
    return found / found.sum(axis=1, keepdims=True)


def _normal(apart: Numbers, spread: float) -> Numbers:
    return np.exp(-0.5 * (apart / spread) ** 2)


def chance_of(line: Numbers) -> Numbers:
    return 1 / (1 + np.exp(-line))


def mixture(parts: Sequence[tuple[Numbers, Numbers]]) -> Likely:
    """Return the mean and the 95 % interval of a mixture: shares, and the weight of each."""
    shares = np.concatenate([share for share, _ in parts])
    weight = np.concatenate([weight for _, weight in parts])
    order = np.argsort(shares, kind="stable")
    shares, weight = shares[order], weight[order]
    below = np.cumsum(weight) - weight / 2
    low, high = np.interp((0.025, 0.975), below, shares)
    return Likely(float(shares @ weight), float(low), float(high))
