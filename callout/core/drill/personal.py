"""How fast this person forgets, and how often they slip at what they know.

A slip has two causes: the item was forgotten, or it was known and went wrong anyway. The published
curve says how an item fades for anyone; two numbers fit it to one person. Both are shrunk towards
the usual values, so that a few meetings count little.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from math import exp, log

import fsrs.scheduler

BINS = 50
"""Steps of the recall probability by which meetings are counted."""
SPEEDS = tuple(exp(n / 8) for n in range(-12, 13))
"""Speeds of forgetting in the grid, from 0.22 to 4.5 times the published one."""
LAPSES = tuple(0.002 * 1.35**n for n in range(17))
"""Shares of lapses in the grid, from 0.2 to 24 %."""
SPREAD = 0.5
"""Spread of the logarithm of the speed among people. Our choice: weak, so that 30 meetings outweigh
it.
"""
USUAL_LAPSE, LAPSE_WEIGHT = 0.02, 10.0
"""The usual share of lapses, and its weight in meetings. Our choice."""
PRIOR = 5.0
"""An item is assumed to be like the person's others, with the weight of this many meetings."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """One meeting of an item, as far as memory is concerned."""

    recall: float
    """Published probability that it was still known just before; 1 if never met."""
    slipped: bool
    weight: float
    """Recent ones count more; 0 to 1."""
    drill: bool = False
    days: float = 0.0
    """Days since it was last met; 0 at the first time."""


@dataclass(frozen=True, slots=True)
class Personal:
    """One person's two numbers."""

    speed: float = 1.0
    """Forgetting relative to the published curve; 2 forgets as much in one day as others in two."""
    lapse: float = USUAL_LAPSE
    """Share of slips at what is known."""

    def risk(self, recall: float, lapse: float) -> float:
        """Return the chance of a slip. recall: as published; lapse: of the item."""
        return float(1 - recall**self.speed * (1 - lapse))


def fit_person(meetings: Iterable[Meeting]) -> Personal:
    """Return the two best-fitting numbers, by a grid over both (penalised likelihood)."""
    counts = [(m, *found) for m, found in enumerate(_binned(meetings)) if any(found)]
    return max(
        (Personal(speed, lapse) for speed in SPEEDS for lapse in LAPSES),
        key=lambda person: _likelihood(person, counts),
    )


def item_lapse(meetings: Sequence[Meeting], person: Personal) -> float:
    """Return the share of lapses at one item, shrunk towards the person's.

    A slip counts by the probability that it was a lapse rather than something forgotten.
    """
    lapse = person.lapse
    for _ in range(3):
        total, lapses = PRIOR, PRIOR * person.lapse
        for meeting in meetings:
            total += meeting.weight
            if meeting.slipped:
                lapses += meeting.weight * lapse / person.risk(meeting.recall, lapse)
        lapse = float(lapses / total)
    return lapse


def predicted_risks(meetings: Sequence[Meeting], person: Personal) -> Iterator[float]:
    """Yield the risk of each meeting, predicted from earlier meetings alone."""
    total, lapses = PRIOR, PRIOR * person.lapse
    for meeting in meetings:
        lapse = lapses / total
        risk = person.risk(meeting.recall, lapse)
        yield risk
        total += meeting.weight
        lapses += meeting.weight * lapse / risk if meeting.slipped else 0.0


def days_saved(stability: float, days: float, person: Personal) -> float:
    """Return what a drill is worth now: expected slips times days, if only memory fades.

    days: since the item was met last. It is the index of a sawtooth (Whittle, J. Appl. Probab.
    25A:287, 1988): the slips to expect per day at this age, times the age, less what was expected
    on the way to it. It grows with age and settles for an item that fades at once anyway, so that
    slots go where they prevent most and not where the risk is highest.
    """
    decay, factor = forgetting_curve()
    rate, power = factor / stability, decay * person.speed
    known = (1 + rate * days) ** -power
    if abs(power - 1) < 1e-6:
        area = log(1 + rate * days) / rate
    else:
        area = ((1 + rate * days) ** (1 - power) - 1) / (rate * (1 - power))
    return float(max(0.0, area - days * known))


@cache
def forgetting_curve() -> tuple[float, float]:
    """Return (d, f) of the published curve R(t, S) = (1 + f t/S)^-d, with R(S, S) = 0.9."""
    decay = float(fsrs.scheduler.DEFAULT_PARAMETERS[20])
    return decay, 0.9 ** (-1 / decay) - 1


def _binned(meetings: Iterable[Meeting]) -> list[tuple[float, float]]:
    counts = [[0.0, 0.0] for _ in range(BINS + 1)]
    for meeting in meetings:
        counts[round(meeting.recall * BINS)][meeting.slipped] += meeting.weight
    return [(right, slips) for right, slips in counts]


def _likelihood(person: Personal, counts: Sequence[tuple[int, float, float]]) -> float:
    found = -0.5 * (log(person.speed) / SPREAD) ** 2
    found += LAPSE_WEIGHT * USUAL_LAPSE * log(person.lapse)
    found += LAPSE_WEIGHT * (1 - USUAL_LAPSE) * log(1 - person.lapse)
    for number, right, slips in counts:
        risk = person.risk(max(0.5, number) / BINS, person.lapse)
        found += right * log(1 - risk) + slips * log(risk)
    return found
