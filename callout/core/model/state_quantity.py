"""State that an aircraft can report, and what it proves, as written."""

from __future__ import annotations

import keyword
import re
from dataclasses import dataclass
from decimal import Decimal

ON_OFF = ("off", "on")
"""Positions of a quantity that declares none."""
USUAL_AGE_S = Decimal(3)
"""Maximum age, in seconds, of state that still proves something, unless an item says otherwise."""
MOST_AGE_S = Decimal(60)

_POSITION = re.compile(r"[a-z0-9][a-z0-9_-]*")


@dataclass(frozen=True, slots=True)
class StateQuantity:
    """One named quantity of an aircraft: a switch with positions, or a number with its unit."""

    name: str
    positions: tuple[str, ...] = ON_OFF
    """Empty for a number."""
    unit: str | None = None
    """Unit of a number; None: a plain number."""
    label: str = ""
    """What a person calls it."""
    panel: str = ""
    line: int = 1
    """Line of the file, 1 first."""

    @property
    def spoken_name(self) -> str:
        """The label, or the name in words."""
        return self.label or self.name.replace("_", " ")

    @property
    def number(self) -> bool:
        """True for a number, False for a switch."""
        return not self.positions


@dataclass(frozen=True, slots=True)
class Proof:
    """The state that proves an item or a control of a flow."""

    expression: str
    """A condition over quantities of the aircraft and of the flight: ``beacon == on``."""
    tolerance: Decimal = Decimal(0)
    """Largest difference at which two numbers still count as equal."""
    age_s: Decimal = USUAL_AGE_S
    """Maximum age of state that counts, in seconds."""
    alone: bool = False
    """True: the state is enough, without a spoken reply."""
    line: int = 1
    """Line of the file, 1 first."""


def position_fault(word: str) -> str:
    """Return why ``word`` cannot name a position in an expression; empty when it can."""
    if not _POSITION.fullmatch(word):
        return "must be small letters, digits and dashes"
    if keyword.iskeyword(word.replace("-", "_")):
        return "means something else in a condition"
    return ""
