"""Invented people who practise for a year, each with known weaknesses."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum
from math import exp

from callout.bench.rehearsal import Act
from callout.core.planning.plan import Plan, PlannedItem

NAMES = ("Trainee Alder", "Trainee Birch", "Trainee Cedar", "Trainee Elm", "Trainee Hazel",
         "Trainee Rowan")  # fmt: skip


class PlantedWeakness(Enum):
    """Kinds of weakness that can be planted."""

    SKIPS = "habitually skipped"
    WRONG = "habitually wrong"
    FAST = "answered without looking"
    SLOW = "slow"
    BETTER = "gets better"
    WORSE = "gets worse"


@dataclass(frozen=True, slots=True)
class Planted:
    """One known weakness: the truth that a report should find."""

    person: str
    list_id: str
    item_id: str
    weakness: PlantedWeakness
    strength: float
    """Chance of it at each run of the item; for SLOW the factor on the reply time; for BETTER and
    WORSE the chance of a wrong reply at the bad end of the year."""


@dataclass(frozen=True, slots=True)
class Habits:
    """How often anyone does what at any item."""

    skip: float = 0.006
    wrong: float = 0.02
    unclear: float = 0.03
    defer: float = 0.01
    fast: float = 0.012
    reply_s: float = 1.9
    """Median seconds to a state."""
    value_s: float = 2.7
    """Median seconds to a number that must be read."""
    spread: float = 0.3
    """Of the logarithm of the seconds."""


STRENGTHS = {
    PlantedWeakness.SKIPS: (0.06, 0.35),
    PlantedWeakness.WRONG: (0.08, 0.4),
    PlantedWeakness.FAST: (0.1, 0.5),
    PlantedWeakness.SLOW: (1.25, 2.2),
    PlantedWeakness.BETTER: (0.25, 0.7),
    PlantedWeakness.WORSE: (0.25, 0.7),
}
"""Range from which each is drawn."""
PER_PERSON = (
    *(PlantedWeakness.SKIPS, PlantedWeakness.WRONG, PlantedWeakness.WRONG, PlantedWeakness.FAST),
    *(PlantedWeakness.FAST, PlantedWeakness.SLOW, PlantedWeakness.BETTER, PlantedWeakness.WORSE),
)


@dataclass(slots=True)
class Person:
    """One person at practice."""

    name: str
    planted: Sequence[Planted]
    chance: random.Random
    habits: Habits = field(default_factory=Habits)
    year: float = 0.0
    """How much of the year is over, 0 to 1."""
    right: dict[tuple[str, str], str] = field(default_factory=dict)
    wrong: dict[tuple[str, str], str] = field(default_factory=dict)

    def behave(self, list_id: str, item: PlannedItem, tries: int) -> list[Act]:
        """Return what they do at ``item``: one act, or two if the second answers a question."""
        weak = {p.weakness: p.strength for p in self.planted if _is(p, list_id, item)}
        key = (list_id, item.id)
        after = self._seconds(item, weak)
        roll = self.chance.random
        if tries == 0:
            if roll() < max(self.habits.skip, weak.get(PlantedWeakness.SKIPS, 0.0)):
                return [Act("skip, not required", after)]
            if roll() < self.habits.defer:
                return [Act("come back to that", after)]
        if roll() < self.habits.unclear:
            return [Act("the er", after, sure=False)]
        if tries < 3 and roll() < self._wrong(weak) / (1 + tries):
            return [Act(self.wrong[key], after)]
        return [Act(self.right[key], after)]

    def _wrong(self, weak: dict[PlantedWeakness, float]) -> float:
        better, worse = weak.get(PlantedWeakness.BETTER, 0.0), weak.get(PlantedWeakness.WORSE, 0.0)
        changing = better * _fading(self.year) + worse * _fading(1 - self.year)
        return max(self.habits.wrong, weak.get(PlantedWeakness.WRONG, 0.0), changing)

    def _seconds(self, item: PlannedItem, weak: dict[PlantedWeakness, float]) -> float:
        if self.chance.random() < max(self.habits.fast, weak.get(PlantedWeakness.FAST, 0.0)):
            return self.chance.uniform(0.3, 0.9)
        median = self.habits.value_s if item.wants_value else self.habits.reply_s
        median *= weak.get(PlantedWeakness.SLOW, 1.0)
        return max(1.02, self.chance.lognormvariate(0.0, self.habits.spread) * median)


def invent_weaknesses(
    names: Sequence[str], plans: Sequence[Plan], chance: random.Random
) -> dict[str, list[Planted]]:
    """Return the weaknesses of each person, at randomly drawn items of ``plans``."""
    places = [(plan.list_id, i.id) for plan in plans for i in plan.items if i.applicable]
    found = {}
    for name in names:
        drawn = chance.sample(places, len(PER_PERSON))
        found[name] = [
            Planted(name, *place, weakness, round(chance.uniform(*STRENGTHS[weakness]), 3))
            for place, weakness in zip(drawn, PER_PERSON, strict=True)
        ]
    return found


def _fading(year: float) -> float:
    """Return a share that goes from 1 to 0 through the year, fastest in its middle."""
    return 1 / (1 + exp(8 * (year - 0.5)))


def _is(planted: Planted, list_id: str, item: PlannedItem) -> bool:
    return planted.list_id == list_id and planted.item_id == item.id
