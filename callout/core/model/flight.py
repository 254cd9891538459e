"""What is known about one flight: quantities with units, set-up facts and words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from callout.core.model.checklist import NOWHERE, Origin
from callout.core.model.expectation import ValueKind
from callout.core.model.state_quantity import StateQuantity


@dataclass(frozen=True, slots=True)
class FlightQuantity:
    """A named number of the flight and how it is spoken."""

    name: str
    number: Decimal | None = None
    """None: not yet known, or computed from ``expression``."""
    unit: str | None = None
    expression: str = ""
    """The expression it is computed from; empty for a plain number."""
    kind: ValueKind | None = None
    digits: int | None = None
    """Digits that must be said; None: as the number is."""
    decimals: int | None = None
    """Decimals shown; None: as written."""
    tolerance: Decimal | None = None
    unit_required: bool = False
    other_units: tuple[str, ...] = ()
    label: str = ""
    """What a person calls it."""
    source: str = ""
    """Where it comes from, to tell the person when it is missing."""
    origin: Origin = NOWHERE

    @property
    def spoken_name(self) -> str:
        """The label, or the name in words."""
        return self.label or self.name.replace("_", " ")


@dataclass(frozen=True, slots=True)
class LookUp:
    """A table of the flight: rows by one quantity, with the values for each."""

    by: str
    """The quantity that the rows go by, such as the take-off mass."""
    unit: str | None
    """Unit of ``by`` in every row."""
    rows: tuple[tuple[Decimal, Mapping[str, Decimal]], ...]
    """In rising order of ``by``: its number, and the number of each column."""
    units: Mapping[str, str | None] = field(default_factory=dict)
    """Unit of each column."""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Comparison:
    """A word that follows from quantities, such as the side of the fuller tank."""

    of: tuple[tuple[str, str], ...]
    """The words to choose from, each with its quantity."""
    most: bool = True
    """True: choose the word of the greatest quantity; False: of the least."""


@dataclass(frozen=True, slots=True)
class Demand:
    """A comparison of quantities that must hold, such as "v1 <= rotate_speed"."""

    text: str
    because: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class SetUpFact:
    """A yes-or-no fact of the set-up; None until somebody states it."""

    name: str
    state: bool | None = None
    question: str = ""
    """How to ask for it."""
    origin: Origin = NOWHERE
    said_yes: tuple[str, ...] = ()
    """What a person says when it becomes true ("fuelling in progress")."""
    said_no: tuple[str, ...] = ()
    """What a person says when it stops being true ("fuelling complete")."""


@dataclass(frozen=True, slots=True)
class Flight:
    """The data a list is used with; a change returns a new flight."""

    title: str = ""
    aircraft: str = ""
    operator: str = ""
    quantities: Mapping[str, FlightQuantity] = field(default_factory=dict)
    set_up: Mapping[str, SetUpFact] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    """Named texts that templates may use, such as a runway."""
    compared: Mapping[str, Comparison] = field(default_factory=dict)
    """Named texts that depend on quantities."""
    look_ups: tuple[LookUp, ...] = ()
    demands: tuple[Demand, ...] = ()
    panels: tuple[str, ...] = ()
    """The panels in scan order."""
    places: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """Where each panel is: centimetres to the right of the left seat, and up."""
    state: Mapping[str, StateQuantity] = field(default_factory=dict)
    """State that the aircraft can report, by name."""
    lacks: tuple[str, ...] = ()
    """Parts that the simulator does not have."""
    notes: tuple[str, ...] = ()
    origin: Origin = NOWHERE

    @property
    def facts(self) -> Mapping[str, bool | None]:
        """State of each fact that is declared."""
        return {name: fact.state for name, fact in self.set_up.items()}

    @property
    def named_texts(self) -> frozenset[str]:
        """Names that stand for a text rather than a number."""
        return frozenset((*self.words, *self.compared))

    def look_up(self, name: str) -> LookUp | None:
        """Return the table that has a column ``name``."""
        return next((table for table in self.look_ups if name in table.units), None)

    def with_fact(self, name: str, state: bool | None) -> Flight:
        """Return the flight with one fact stated, or made unknown."""
        fact = replace(self.set_up.get(name, SetUpFact(name)), state=state)
        return replace(self, set_up={**self.set_up, name: fact})

    def with_quantity(self, name: str, number: Decimal | None, unit: str | None = None) -> Flight:
        """Return the flight with one quantity set; how it is spoken stays the same.

        ``unit`` None keeps the declared unit; ``number`` None makes the quantity unknown.
        """
        known = self.quantities.get(name, FlightQuantity(name))
        given = replace(known, number=number, unit=unit or known.unit, expression="")
        return replace(self, quantities={**self.quantities, name: given})


EMPTY_FLIGHT = Flight()
"""Nothing is known: every condition that asks for a fact is unknown."""
