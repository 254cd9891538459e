"""What is known about the aircraft at one moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

Shown = str | Decimal
"""A position, or a number in the declared unit."""


@dataclass(frozen=True, slots=True)
class Reading:
    """The latest report of one quantity."""

    value: Shown
    seq: int
    """Number of the message that reported it."""


@dataclass(frozen=True, slots=True)
class Move:
    """One quantity that changed."""

    name: str
    was: Shown
    now: Shown
    at: float
    """When it was received, in seconds."""
    label: str = ""
    """What a person calls it."""
    panel: str = ""


@dataclass(frozen=True, slots=True)
class Board:
    """Every quantity that is known for certain, and the time for which it holds."""

    values: Mapping[str, Shown] = field(default_factory=dict)
    as_of: float | None = None
    """Session time in seconds; None: nothing has been reported."""
    still: bool = False
    """True: time is frozen, as in a recorded stream that waits for an item."""

    def age(self, now: float) -> float | None:
        """Return its age in seconds; None if nothing has been reported."""
        if self.as_of is None:
            return None
        return max(0.0, -self.as_of if self.still else now - self.as_of)


NOTHING = Board()
"""Nothing has been reported."""


def shown_value(value: Shown, unit: str | None = None) -> str:
    """Return a value in words: a position with spaces, a number with its unit."""
    if isinstance(value, str):
        return value.replace("-", " ").replace("_", " ")
    number = f"{value.normalize():f}"
    return f"{number} {unit}" if unit else number
