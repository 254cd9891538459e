"""Does a shown risk come true? Corrected by how often exercises went wrong up to now.

What is picked is picked for its risk, and so is too high on average, whatever the model (regression
to the mean). Two numbers, from the exercises of this person so far, put that right.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, log

STEP = 0.25
"""Of the log odds in which exercises are counted."""
SHIFT_SPREAD, SLOPE_SPREAD = 1.0, 0.3
"""How far a person is thought to be from no correction at all. Our choice."""
ROUNDS = 12


@dataclass(frozen=True, slots=True)
class Correction:
    """What is done to the log odds of a risk."""

    shift: float = 0.0
    """Added to the log odds."""
    slope: float = 1.0
    """What the log odds are multiplied with."""

    def of(self, risk: float) -> float:
        """Return the risk as corrected; 0 to 1."""
        return _chance(self.shift + self.slope * _odds(risk))


def corrected(exercises: Iterable[tuple[float, bool, float]]) -> Correction:
    """Return the correction that fits exercises best: (risk before, slipped, weight) of each.

    Penalised logistic regression of what happened on the log odds of what was foretold (Cox,
    Biometrika 45:562, 1958), by Newton's steps.
    """
    counts: dict[int, list[float]] = {}
    for risk, slipped, weight in exercises:
        counts.setdefault(round(_odds(risk) / STEP), [0.0, 0.0])[slipped] += weight
    shift, slope = 0.0, 1.0
    for _ in range(ROUNDS if counts else 0):
        to_shift, to_slope = -shift / SHIFT_SPREAD**2, (1 - slope) / SLOPE_SPREAD**2
        a, b, c = 1 / SHIFT_SPREAD**2, 0.0, 1 / SLOPE_SPREAD**2
        for step, (right, slips) in sorted(counts.items()):
            x = step * STEP
            chance = _chance(shift + slope * x)
            error, weight = slips - (right + slips) * chance, (right + slips) * chance
            weight *= 1 - chance
            to_shift, to_slope = to_shift + error, to_slope + error * x
            a, b, c = a + weight, b + weight * x, c + weight * x * x
        det = a * c - b * b
        shift += max(-1.0, min(1.0, (c * to_shift - b * to_slope) / det))
        slope += max(-0.5, min(0.5, (a * to_slope - b * to_shift) / det))
    return Correction(shift, max(0.1, slope))


def _odds(risk: float) -> float:
    held = min(0.999, max(0.001, risk))
    return log(held / (1 - held))


def _chance(odds: float) -> float:
    return 1 / (1 + exp(-max(-30.0, min(30.0, odds))))
