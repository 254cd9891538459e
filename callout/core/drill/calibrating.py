"""Do predicted risks come true? Corrects them by how often exercises have gone wrong so far.

What is picked is picked for its risk, and so is too high on average, whatever the model (regression
to the mean). And the published curve has one shape for all: what was left alone for two weeks may
fade faster for this person than it says, what was met yesterday slower. Four numbers, from the
exercises of this person so far, put that right. Of waits longer than any so far nothing is known:
there the shown risk grows with the wait.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, inf, log

STEP = 0.25
"""Step, in log odds and in the logarithm of the days, for counting exercises."""
HIGH = -1.0
"""Log odds (27 %) above which the fourth number applies."""
_USUAL = (0.0, 1.0, 0.0, -0.4)
"""The numbers before any exercise: high risks are too high in every memory of the bench."""
SPREADS = (1.0, 0.3, 0.5, 0.3)
"""How far a person may be from that, in each number. Our choice."""
BEYOND, MOST_BEYOND = 1.5, 1.0
"""Log odds for each factor of e by which a wait exceeds all but a hundredth of those so far, and
the most in all. From the bench: `callout bench practice`.
"""
USUAL_DAYS, FEWEST_DAYS = 4.0, 0.25
"""Days without practice to which the shift applies; anything below the second counts as that."""
ROUNDS = 12
_STEPS = (1.0, 0.5, 0.5, 0.5)
"""How far a number may move in one iteration."""


@dataclass(frozen=True, slots=True)
class Correction:
    """How the log odds of a risk are corrected."""

    shift: float = 0.0
    """Added to the log odds."""
    slope: float = 1.0
    """Factor on the log odds."""
    gap: float = 0.0
    """Added for each factor of e between the days since the last meeting and the usual ones."""
    high: float = 0.0
    """Added for each unit of log odds above ``HIGH``."""
    waited: float = inf
    """Days that nearly all meetings so far came within."""

    def of(self, risk: float, days: float = USUAL_DAYS) -> float:
        """Return the corrected risk, 0 to 1. days: since the item was last met."""
        odds = _odds(risk)
        line = self.shift + self.slope * odds + self.gap * _gap(days)
        beyond = BEYOND * log(max(1.0, days / self.waited))
        return _chance(line + self.high * max(0.0, odds - HIGH) + min(MOST_BEYOND, beyond))


def nearly_longest_wait(waits: Iterable[tuple[float, float]]) -> float:
    """Return the days that all but a hundredth of the meetings came within; at least the usual.

    waits: (days since the meeting before, weight) of each meeting.
    """
    ordered = sorted(waits)
    left = sum(weight for _, weight in ordered) * 0.01
    for days, weight in reversed(ordered):
        left -= weight
        if left < 0:
            return max(USUAL_DAYS, days)
    return USUAL_DAYS


def fit_correction(
    exercises: Iterable[tuple[float, float, bool, float]], waited: float = inf
) -> Correction:
    """Return the best-fitting correction: (risk before, days, slipped, weight) of each exercise.

    waited: days that nearly all meetings came within.

    Penalised logistic regression of what happened on the log odds of what was foretold (Cox,
    Biometrika 45:562, 1958) and on the time left alone, by Newton's steps.
    """
    counts: dict[tuple[int, int], list[float]] = {}
    for risk, days, slipped, weight in exercises:
        place = round(_odds(risk) / STEP), round(_gap(days) / STEP)
        counts.setdefault(place, [0.0, 0.0])[slipped] += weight
    held = [
        ((1.0, odds * STEP, gap * STEP, max(0.0, odds * STEP - HIGH)), right, slips)
        for (odds, gap), (right, slips) in sorted(counts.items())
    ]
    found = list(_USUAL)
    for _ in range(ROUNDS if held else 0):
        for n, step in enumerate(_newton_step(found, held)):
            found[n] += max(-_STEPS[n], min(_STEPS[n], step))
    slope = max(0.1, found[1])
    return Correction(found[0], slope, found[2], max(0.1 - slope, found[3]), waited)


Held = tuple[tuple[float, float, float, float], float, float]
"""What is known about similar exercises; how many went right and wrong, by weight."""


def _newton_step(found: Sequence[float], held: Iterable[Held]) -> list[float]:
    pull = [(usual - f) / s**2 for usual, f, s in zip(_USUAL, found, SPREADS, strict=True)]
    numbers = range(len(found))
    curve = [[(i == j) / SPREADS[i] ** 2 for j in numbers] for i in numbers]
    for x, right, slips in held:
        chance = _chance(sum(f * v for f, v in zip(found, x, strict=True)))
        error, weight = slips - (right + slips) * chance, (right + slips) * chance * (1 - chance)
        for i in numbers:
            pull[i] += error * x[i]
            for j in numbers:
                curve[i][j] += weight * x[i] * x[j]
    return _solved(curve, pull)


def _solved(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Solve for a positive definite matrix (elimination needs no exchange of rows there)."""
    size = len(right)
    for i in range(size):
        for j in range(i + 1, size):
            share = matrix[j][i] / matrix[i][i]
            matrix[j] = [b - share * a for a, b in zip(matrix[i], matrix[j], strict=True)]
            right[j] -= share * right[i]
    for i in reversed(range(size)):
        known = sum(matrix[i][j] * right[j] for j in range(i + 1, size))
        right[i] = (right[i] - known) / matrix[i][i]
    return right


def _gap(days: float) -> float:
    return log(max(FEWEST_DAYS, days) / USUAL_DAYS)


def _odds(risk: float) -> float:
    held = min(0.999, max(0.001, risk))
    return log(held / (1 - held))


def _chance(odds: float) -> float:
    return 1 / (1 + exp(-max(-30.0, min(30.0, odds))))
