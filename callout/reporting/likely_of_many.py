"""How often an item probably goes wrong for the people of a class, each of whom counts alike.

What each person usually does is taken from that person's own meetings alone; on top of it every
item has an effect for everybody, drawn towards that of its list as for one person, and one for each
person. People are added one after another: what is kept are three numbers for each item and point
of the grid, whole ones, so that the order of people makes no difference.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

import numpy as np

from callout.core.debrief.likely import Likely
from callout.core.debrief.rates import Rate
from callout.reporting.likely_shares import GRID, NODES, USUAL, WEIGHTS, chance_of, mixture, settled

Numbers = Any
Place = TypeVar("Place", bound=Hashable)
OWN_SPREAD = 0.7
"""Spread of a person's own effect at an item, in log odds. Our choice."""
_FINE = 2.0**30
_POINTS, _POINT_WEIGHTS = np.polynomial.hermite_e.hermegauss(7)


@dataclass(slots=True)
class _ItemSums:
    group: Hashable
    """The list."""
    sums: Numbers = field(default_factory=lambda: np.zeros((3, len(GRID)), dtype=np.int64))
    """Of the people's log likelihoods, shares, and variances of these, at each point of the grid.
    """
    people: int = 0


@dataclass(slots=True)
class LikelyOfMany(Generic[Place]):
    """Sums over people."""

    places: dict[Place, _ItemSums] = field(default_factory=dict)

    def add(self, usual: float, met: Sequence[tuple[Place, Hashable, Rate]]) -> None:
        """Add a person: the usual log odds, and each item with its list and how often it went
        wrong.
        """
        line = GRID[:, None] + (usual - USUAL) + OWN_SPREAD * _POINTS
        chance = chance_of(line)
        wrong, right = np.log(chance), -np.logaddexp(0.0, line)
        for place, group, rate in met:
            sums = self.places.setdefault(place, _ItemSums(group))
            log = rate.hits * wrong + (rate.total - rate.hits) * right
            weight = np.exp(log - log.max(axis=1, keepdims=True)) * _POINT_WEIGHTS
            whole = weight.sum(axis=1, keepdims=True)
            mean = (weight * chance).sum(axis=1) / whole[:, 0]
            likelihood = log.max(axis=1) + np.log(whole[:, 0])
            variance = (weight * chance**2).sum(axis=1) / whole[:, 0] - mean**2
            sums.sums += np.rint(_FINE * np.stack([likelihood, mean, variance])).astype(np.int64)
            sums.people += 1

    def shares(self) -> dict[Place, Likely]:
        """Return the mean over the people who met it, of each item."""
        if not self.places:
            return {}
        places = sorted(self.places, key=lambda p: (str(self.places[p].group), str(p)))
        sums = [self.places[place] for place in places]
        known: dict[Hashable, int] = {}
        lists = np.array([known.setdefault(one.group, len(known)) for one in sums])
        found, _ = settled(np.stack([one.sums[0] / _FINE for one in sums]), lists, 1.0)
        return {place: _told(one, row) for place, one, row in zip(places, sums, found, strict=True)}


def _told(one: _ItemSums, weight: Numbers) -> Likely:
    mean = one.sums[1] / _FINE / one.people
    spread = np.sqrt(np.maximum(one.sums[2] / _FINE, 0.0)) / one.people
    parts = [
        (np.clip(mean + node * spread, 0.0, 1.0), much * weight)
        for node, much in zip(NODES, WEIGHTS, strict=True)
    ]
    return mixture(parts)
