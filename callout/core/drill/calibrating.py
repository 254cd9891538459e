"""Do predicted risks come true? Corrects them by what came of all earlier predictions.

The published curve has one shape for all, and reacts more strongly to the last slip than people
do. So risks are corrected by a regression of what happened on what was foretold before it, and on
what else was known then: how long the item was left alone, whether it had ever been left alone so
long, how often and how lately it went wrong. It learns from every meeting, also of items that no
drill picked: those that are picked are picked for their risk, and alone would mislead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import exp, log
from typing import Any

from callout.core.drill.personal import Meeting, Personal, predicted_risks

USUAL_DAYS, FEWEST_DAYS = 4.0, 0.25
"""Days without practice that change nothing; anything below the second counts as that."""
SHARE_SLIPS, SHARE_MET = 1.0, 10.0
"""An item's share of slips starts as if it had been met so often, with so many slips."""
LATELY_DAYS, LATELY_SLIPS, LATELY_MET = 15.0, 0.3, 3.0
"""The same for its share lately, in which a meeting counts half after so many days."""
NEVER_DAYS = 60.0
"""An item that never went wrong is taken to have done so this long before it was first met."""
FLOWN_WEIGHT = 0.03
"""Weight of a meeting in a flight, where one of a drill has 1: there are many, and they come soon
after a drill, where the shape of the curve differs most. From the bench: `callout bench practice`.
"""
_USUAL = (0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
"""The numbers before any meeting: no correction."""
SPREAD = 0.5
"""How far a person may be from that, in each number. Our choice."""
ROUNDS = 12
_STEP = 1.0
"""How far a number may move in one iteration."""
_MIDDLE_SHARE, _MIDDLE_SINCE = -2.2, 3.0
"""Log odds of a share of 10 %, and the logarithm of 20 days: there the numbers change nothing."""


@dataclass(frozen=True, slots=True)
class Foretold:
    """A prediction, and what was known when it was made."""

    risk: float
    """0 to 1."""
    days: float = USUAL_DAYS
    """Since the item was last met."""
    longest: float = USUAL_DAYS
    """The longest that it was left alone before."""
    share: float = 0.1
    """Share of slips so far."""
    lately: float = 0.1
    """The same, of the last weeks."""
    since: float = exp(_MIDDLE_SINCE)
    """Days since it last went wrong."""
    drill: bool = True

    def numbers(self) -> tuple[float, ...]:
        """Return what the regression is on."""
        beyond = max(1.0, self.days / max(1.0, self.longest))
        return (
            1.0,
            _odds(self.risk),
            log(max(FEWEST_DAYS, self.days) / USUAL_DAYS),
            float(self.drill),
            _odds(self.share) - _MIDDLE_SHARE,
            _odds(self.lately) - _MIDDLE_SHARE,
            log(max(FEWEST_DAYS, self.since)) - _MIDDLE_SINCE,
            log(beyond),
        )


@dataclass(slots=True)
class SlipHistory:
    """What one item's meetings so far tell; times are days after its first one."""

    last: float = 0.0
    """When it was met last."""
    longest: float = 0.0
    """The longest that it was left alone, in days."""
    met: float = 0.0
    """How often it was met."""
    slips: float = 0.0
    """How often it went wrong."""
    lately_met: float = 0.0
    """The same two, recent ones counting more, as they were at the last meeting."""
    lately_slips: float = 0.0
    slipped: float = -NEVER_DAYS
    """When it last went wrong."""

    @staticmethod
    def of(meetings: Iterable[Meeting]) -> SlipHistory:
        """Return that of an item's meetings, in order."""
        history = SlipHistory()
        for meeting in meetings:
            history.add(meeting.days, meeting.slipped)
        return history

    def foretold(self, risk: float, days: float, drill: bool) -> Foretold:
        """Return a prediction so many days after the last meeting."""
        kept = 0.5 ** (days / LATELY_DAYS)
        return Foretold(
            risk=risk,
            days=days,
            longest=self.longest,
            share=(SHARE_SLIPS + self.slips) / (SHARE_MET + self.met),
            lately=(LATELY_SLIPS + kept * self.lately_slips)
            / (LATELY_MET + kept * self.lately_met),
            since=self.last + days - self.slipped,
            drill=drill,
        )

    def add(self, days: float, slipped: bool) -> None:
        """Add a meeting so many days after the one before."""
        kept = 0.5 ** (days / LATELY_DAYS)
        self.last += days
        self.longest = max(self.longest, days)
        self.met += 1
        self.slips += slipped
        self.lately_met = kept * self.lately_met + 1
        self.lately_slips = kept * self.lately_slips + slipped
        if slipped:
            self.slipped = self.last


@dataclass(frozen=True, slots=True)
class Correction:
    """How the log odds of a risk are corrected."""

    factors: tuple[float, ...] = _USUAL

    def of(self, foretold: Foretold) -> float:
        """Return the corrected risk, 0 to 1."""
        pairs = zip(self.factors, foretold.numbers(), strict=True)
        return _chance(sum(factor * number for factor, number in pairs))


Outcome = tuple[Foretold, bool, float]
"""A prediction, whether the item went wrong, and the weight of the meeting."""


def outcomes_of(items: Iterable[Sequence[Meeting]], person: Personal) -> Iterator[Outcome]:
    """Yield what was foretold of each meeting of each item but the first, and what came of it."""
    for meetings in items:
        history = SlipHistory()
        for risk, meeting in zip(predicted_risks(meetings, person), meetings, strict=True):
            if history.met:
                foretold = history.foretold(risk, meeting.days, meeting.drill)
                yield foretold, meeting.slipped, meeting.weight
            history.add(meeting.days, meeting.slipped)


def fit_correction(outcomes: Iterable[Outcome]) -> Correction:
    """Return the correction that fits best what came of earlier predictions.

    Penalised logistic regression of what happened on the log odds of what was foretold (Cox,
    Biometrika 45:562, 1958) and on what else was known, by Newton's steps.
    """
    import numpy as np

    found: Sequence[Outcome] = list(outcomes)
    if not found:
        return Correction()
    known = np.array([foretold.numbers() for foretold, _, _ in found])
    slipped = np.array([slip for _, slip, _ in found], dtype=float)
    weights = np.array([w * (1 if f.drill else FLOWN_WEIGHT) for f, _, w in found])
    factors: Any = np.array(_USUAL)
    for _ in range(ROUNDS):
        chances = 1 / (1 + np.exp(-np.clip(known @ factors, -30, 30)))
        pull = known.T @ (weights * (slipped - chances)) - (factors - _USUAL) / SPREAD**2
        curve = (known.T * (weights * chances * (1 - chances))) @ known
        step = np.linalg.solve(curve + np.eye(len(_USUAL)) / SPREAD**2, pull)
        factors = factors + np.clip(step, -_STEP, _STEP)
    return Correction(tuple(float(factor) for factor in factors))


def _odds(risk: float) -> float:
    held = min(0.999, max(0.001, risk))
    return log(held / (1 - held))


def _chance(odds: float) -> float:
    return 1 / (1 + exp(-max(-30.0, min(30.0, odds))))
