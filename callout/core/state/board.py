"""What is known of the aircraft at one moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

Shown = str | Decimal
"""A position, or a number in the unit that was declared."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One quantity as it was last told."""

    value: Shown
    seq: int
    """Number of the message that told it."""


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
    """Every quantity that is known for sure, and the moment for which it is."""

    values: Mapping[str, Shown] = field(default_factory=dict)
    as_of: float | None = None
    """Seconds of session time; None: nothing has been told."""
    still: bool = False
    """True: time stands still in it, as in a recorded stream that waits for an item."""

    def age(self, now: float) -> float | None:
        """Return how old it is, in seconds; None where nothing has been told."""
        if self.as_of is None:
            return None
        return max(0.0, -self.as_of if self.still else now - self.as_of)


NOTHING = Board()
"""Nothing has been told."""


def shown_value(value: Shown, unit: str | None = None) -> str:
    """Return a value in words: a position with spaces, a number with its unit."""
    if isinstance(value, str):
        return value.replace("-", " ").replace("_", " ")
    number = f"{value.normalize():f}"
    return f"{number} {unit}" if unit else number
