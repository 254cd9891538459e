"""Invented learners who forget in ways that the schedule does not know.

Two memory models, neither that of the schedule. Half-lives: recall halves in a time that grows with
each success, more after a long gap, and shrinks with each slip (after Settles and Meeder, ACL 2016,
a trainable spaced-repetition model; growth our choice). Activation: every meeting leaves a trace
that decays by a power of its age, faster for what was still active (Pavlik and Anderson, Cognitive
Science 29:559, 2005; constants from memory, threshold moved so that a week without practice costs a
few per cent).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Any, Protocol

import numpy as np

from callout.core.drill.told_chance import TOLD, told_chance

Numbers = Any


class Learner(Protocol):
    """One person and a number of items."""

    lapses: Numbers
    """Share of slips at what is known, of each item."""

    def known(self, day: float) -> Numbers:
        """Return the chance that each item is still known."""

    def meet(self, items: Sequence[int], day: float, slipped: Numbers) -> None:
        """Meet some items; slipped: one truth value for each."""


def slip_chance(learner: Learner, day: float) -> Numbers:
    """Return the chance of a slip at each item."""
    return 1 - learner.known(day) * (1 - learner.lapses)


def lapses_of(items: int, chance: np.random.Generator) -> Numbers:
    """Return shares of lapses: some 1.5 % each, one item in fifteen with 8 to 30 %."""
    usual = chance.beta(1.0, 65.0, items)
    weak = chance.random(items) < 1 / 15
    return np.where(weak, chance.uniform(0.08, 0.3, items), usual)


class HalfLives:
    """Recall halves in a time that practice changes."""

    def __init__(self, items: int, chance: np.random.Generator) -> None:
        person = np.exp(chance.normal(0.0, 0.35))
        self.lapses = lapses_of(items, chance)
        self._half = 10.0 * person * np.exp(chance.normal(0.0, 0.7, items))
        self._last = np.zeros(items)

    def known(self, day: float) -> Numbers:
        """Return the chance that each item is still known."""
        return 2.0 ** (-(day - self._last) / self._half)

    def meet(self, items: Sequence[int], day: float, slipped: Numbers) -> None:
        """Meet some items."""
        at = np.asarray(items, dtype=int)
        gap = 1 - self.known(day)[at]
        grown = self._half[at] * (1.01 + 0.8 * gap)
        shrunk = np.maximum(2.0, 0.7 * self._half[at])
        self._half[at] = np.minimum(90.0, np.where(slipped, shrunk, grown))
        self._last[at] = day


class Activation:
    """Each meeting leaves a trace that decays; what is active enough is known."""

    SCALE, BASE, NOISE = 0.217, 0.177, 0.255
    AGING = 0.025
    """Time between sessions counts this much of time within one."""
    THRESHOLD = -0.85

    def __init__(self, items: int, chance: np.random.Generator) -> None:
        self.lapses = lapses_of(items, chance)
        self._easy = chance.normal(0.0, 0.25) + chance.normal(0.0, 0.3, items)
        self._at = np.zeros((items, 8))
        self._decay = np.full((items, 8), self.BASE)
        self._used = np.ones(items, dtype=int)

    def known(self, day: float) -> Numbers:
        """Return the chance that each item is still known."""
        active = self._activation(day) + self._easy - self.THRESHOLD
        return 1 / (1 + np.exp(-active / self.NOISE))

    def _activation(self, day: float) -> Numbers:
        age = np.maximum((day - self._at) * 86_400 * self.AGING, 1.0)
        there = np.arange(self._at.shape[1]) < self._used[:, None]
        return np.log(np.where(there, age**-self._decay, 0.0).sum(axis=1))

    def meet(self, items: Sequence[int], day: float, slipped: Numbers) -> None:
        """Meet some items; after a slip the answer is told, which leaves a trace all the same."""
        at = np.asarray(items, dtype=int)
        if self._used.max() + 1 >= self._at.shape[1]:
            self._at = np.hstack([self._at, np.zeros_like(self._at)])
            self._decay = np.hstack([self._decay, np.zeros_like(self._decay)])
        active = np.minimum(self._activation(day)[at], 0.5)
        self._decay[at, self._used[at]] = self.SCALE * np.exp(active) + self.BASE
        self._at[at, self._used[at]] = day
        self._used[at] += 1


LEARNERS: dict[str, Callable[[int, np.random.Generator], Learner]] = {
    "half-lives": HalfLives,
    "activation": Activation,
}

BANDS = (0.0, 0.02, 0.05, 0.1, 0.2, 0.4, 1.0)
"""Of the shown risk."""


def calibration_lines(shown: Sequence[tuple[float, float]]) -> Iterator[str]:
    """Yield the true share of slips by the risk that was shown, and the mean square of the error.

    shown: risk shown and true risk of each item.
    """
    for low, high in pairwise(BANDS):
        band = [pair for pair in shown if low <= pair[0] < high]
        if band:
            told, true = np.mean(band, axis=0)
            yield (
                f"  shown {100 * low:.0f} to {100 * high:.0f} %: {len(band)} exercises, "
                f"mean {100 * told:.1f} %, truly {100 * true:.1f} %"
            )
    for one in TOLD:
        true = [truth for told, truth in shown if told_chance(told) is one]
        if true:
            yield f"  told {one.words}: {len(true)} exercises, truly {100 * np.mean(true):.1f} %"
    if shown:
        error = float(np.mean([(told - true) ** 2 for told, true in shown]))
        yield f"  mean square of the error {10_000 * error:.1f} (1e-4)"
