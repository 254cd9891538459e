"""What is known of one flight: quantities with units, set-up facts and words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from callout.core.checklist import NOWHERE, Origin
from callout.core.expectation import ValueKind


@dataclass(frozen=True, slots=True)
class FlightQuantity:
    """A named number of the flight and how it is spoken."""

    name: str
    number: Decimal | None = None
    """None: not known yet, or computed from ``expression``."""
    unit: str | None = None
    expression: str = ""
    """What it is computed from; empty for a number given."""
    kind: ValueKind | None = None
    digits: int | None = None
    decimals: int | None = None
    tolerance: Decimal | None = None
    unit_required: bool = False
    other_units: tuple[str, ...] = ()
    label: str = ""
    """What a person calls it."""
    source: str = ""
    """Where it comes from, to say when it is missing."""
    origin: Origin = NOWHERE

    @property
    def spoken_name(self) -> str:
        """The label, or the name in words."""
        return self.label or self.name.replace("_", " ")


@dataclass(frozen=True, slots=True)
class SetUpFact:
    """A yes-or-no fact of the set-up; None while nobody has said."""

    name: str
    state: bool | None = None
    question: str = ""
    """How to ask for it."""
    origin: Origin = NOWHERE
    said_yes: tuple[str, ...] = ()
    """What a person says when it becomes true ("fuelling in progress")."""
    said_no: tuple[str, ...] = ()
    """What a person says when it is true no longer ("fuelling complete")."""


@dataclass(frozen=True, slots=True)
class Flight:
    """The data a list is worked with; changing it gives a new flight."""

    title: str = ""
    aircraft: str = ""
    operator: str = ""
    quantities: Mapping[str, FlightQuantity] = field(default_factory=dict)
    set_up: Mapping[str, SetUpFact] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    """Named texts that templates may use, such as a runway."""
    panels: tuple[str, ...] = ()
    """The panels in scan order."""
    places: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """Where panels are: centimetres across right of the left seat, and up."""
    notes: tuple[str, ...] = ()
    origin: Origin = NOWHERE

    @property
    def facts(self) -> Mapping[str, bool | None]:
        """State of each fact that is declared."""
        return {name: fact.state for name, fact in self.set_up.items()}

    def with_fact(self, name: str, state: bool | None) -> Flight:
        """Return the flight with one fact stated (or made unknown)."""
        fact = replace(self.set_up.get(name, SetUpFact(name)), state=state)
        return replace(self, set_up={**self.set_up, name: fact})

    def with_quantity(self, name: str, number: Decimal | None, unit: str | None = None) -> Flight:
        """Return the flight with one quantity given, keeping how it is spoken.

        ``unit`` None keeps the declared unit; ``number`` None makes the quantity unknown.
        """
        known = self.quantities.get(name, FlightQuantity(name))
        given = replace(known, number=number, unit=unit or known.unit, expression="")
        return replace(self, quantities={**self.quantities, name: given})


EMPTY_FLIGHT = Flight()
"""Nothing known: every condition with a fact in it is unknown."""
