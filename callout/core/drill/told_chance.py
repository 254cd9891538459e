"""How a risk is told to people: in classes that measurements bear out, not as a number.

Foretold below 5 %, a risk was truly 4 to 11 % on two memories that are not the tool's own, and
above 40 % truly 38 to 53 %. These classes, and no finer ones, held in every cell measured, flying
and not (`callout bench practice`).
"""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.sentences import drill as sentences


@dataclass(frozen=True, slots=True)
class ToldChance:
    """A class of risks."""

    below: float
    """Risks below this, and not in an earlier class, belong here."""
    words: str
    least: float
    """What the words promise: the share of slips lies from here"""
    most: float
    """to here."""


TOLD = (
    ToldChance(0.1, sentences.SELDOM, 0.0, 0.1),
    ToldChance(0.2, sentences.ONE_IN_SEVEN, 0.1, 0.2),
    ToldChance(0.4, sentences.ONE_IN_FOUR, 0.2, 1 / 3),
    ToldChance(float("inf"), sentences.OVER_A_THIRD, 1 / 3, 1.0),
)


def told_chance(risk: float) -> ToldChance:
    """Return the class of a risk from 0 to 1."""
    return next(one for one in TOLD if risk < one.below)
