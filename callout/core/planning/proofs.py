"""A proof prepared for one flight: the figures of the flight are filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from callout.core.language.quantities import Quantity, quantity_key
from callout.core.language.tables import Tables
from callout.core.model.flight import Flight
from callout.core.model.state_quantity import Proof, StateQuantity
from callout.core.planning.quantities import computed_amount, text_of
from callout.core.planning.templates import names_in
from callout.core.planning.unit_names import unit_named
from callout.errors import ChecklistInvalid

REPLY = "reply"
"""Name of the right reply as given, for lists that accept several."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number of the flight, with its unit."""

    number: Decimal
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Watched:
    """One quantity of the aircraft that a proof uses."""

    label: str
    unit: str | None = None
    positions: tuple[str, ...] = ()
    """Empty for a number."""


@dataclass(frozen=True, slots=True)
class PlannedProof:
    """A condition over the aircraft's state; everything from the flight is filled in."""

    expression: str
    watched: Mapping[str, Watched] = field(default_factory=dict)
    figures: Mapping[str, Figure] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    """Texts of the flight, written as positions."""
    unknown: tuple[str, ...] = ()
    """Figures of the flight that are not yet known."""
    tolerance: Decimal = Decimal(0)
    age_s: float = 3.0
    """Maximum age, in seconds, of a reading that still proves something."""
    alone: bool = False


def planned_proof(proof: Proof | None, flight: Flight, tables: Tables) -> PlannedProof | None:
    """Return ``proof`` for this flight; None if there is none or the aircraft declares no state.

    Names are looked up in this order: quantities of the aircraft, of the flight, its words,
    positions.
    """
    if proof is None or not flight.state:
        return None
    names = names_in(proof.expression)
    watched = {n: _watched(flight.state[n], tables) for n in names if n in flight.state}
    figures: dict[str, Figure] = {}
    words: dict[str, str] = {}
    unknown = []
    for name in (n for n in names if n not in watched):
        try:
            if name in flight.quantities:
                figures[name] = Figure(*computed_amount(name, flight, tables))
            elif text := text_of(name, flight, tables):
                words[name] = text
        except ChecklistInvalid:
            unknown.append(name)
    return PlannedProof(
        proof.expression,
        watched,
        figures,
        words,
        tuple(unknown),
        proof.tolerance,
        float(proof.age_s),
        proof.alone,
    )


def _watched(declared: StateQuantity, tables: Tables) -> Watched:
    unit = unit_named(declared.unit, tables)
    return Watched(declared.spoken_name, unit, declared.positions)


def names_for(proof: PlannedProof) -> dict[str, Quantity | str]:
    """Return what every name except the aircraft's stands for; positions stand for themselves.

    A position that is a number (``flap_lever == 10``) becomes a number.
    """
    found: dict[str, Quantity | str] = {
        name: Quantity(figure.number, figure.unit) for name, figure in proof.figures.items()
    }
    found |= {name: position_value(text) for name, text in proof.words.items()}
    known = {*found, *proof.watched}
    positions = {p for watched in proof.watched.values() for p in watched.positions}
    free = {quantity_key(p): p for p in positions if quantity_key(p) not in known}
    return {**found, **{name: position_value(p) for name, p in free.items()}}


def position_value(text: str) -> Quantity | str:
    """Return a position in the form that an expression compares."""
    word = text.strip().casefold()
    return Quantity(Decimal(word)) if word.isdecimal() and word.isascii() else quantity_key(word)
