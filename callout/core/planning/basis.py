"""What a plan is based on: the facts and figures its list depends on, with their values at the
time.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from callout.core.model.checklist import Checklist, Item
from callout.core.model.flight import Flight, FlightQuantity
from callout.core.planning.resolve import names_of, with_inputs


@dataclass(frozen=True, slots=True)
class Basis:
    """Facts and figures by name; equal ones give the same plan for the same list."""

    facts: Mapping[str, bool | None] = field(default_factory=dict)
    figures: Mapping[str, str] = field(default_factory=dict)
    """"1018 hPa"; empty if unknown or computed from others."""


def basis_of(checklist: Checklist, flight: Flight) -> Basis:
    """Return what ``checklist`` depends on, with the values in ``flight``."""
    conditions = [item.when for item in checklist.items]
    conditions += [action.when for panel in checklist.flow for action in panel.actions]
    facts = dict.fromkeys(name for c in conditions if c for name in c.facts)
    figures = dict.fromkeys(name for i in checklist.items for name in figures_of(i, flight))
    return basis_in(flight, facts, figures)


def basis_now(basis: Basis, flight: Flight) -> Basis:
    """Return the same facts and figures with their values in ``flight``."""
    return basis_in(flight, basis.facts, basis.figures)


def basis_in(flight: Flight, facts: Iterable[str], figures: Iterable[str]) -> Basis:
    """Return the named facts and figures with their values in ``flight``."""
    return Basis(
        {name: flight.facts.get(name) for name in facts},
        {name: _written_quantity(flight.quantities.get(name)) for name in figures},
    )


def changed_names(before: Basis | None, after: Basis | None) -> frozenset[str]:
    """Return the names of what differs; none if an earlier version stored no basis."""
    if before is None or after is None:
        return frozenset()
    pairs = ((before.facts, after.facts), (before.figures, after.figures))
    return frozenset(
        name for was, now in pairs for name in {*was, *now} if was.get(name) != now.get(name)
    )


def figures_of(item: Item, flight: Flight) -> tuple[str, ...]:
    """Return the quantities that an item answers with, needs or makes known, and their inputs."""
    named = names_of(item, flight)
    return tuple(dict.fromkeys((*named, *with_inputs((*item.needs, *item.produces), flight))))


def hangs_on(item: Item, flight: Flight) -> tuple[str, ...]:
    """Return every fact and figure that decides whether and how an item is answered."""
    facts = item.when.facts if item.when else ()
    return tuple(dict.fromkeys((*facts, *figures_of(item, flight))))


def _written_quantity(quantity: FlightQuantity | None) -> str:
    if quantity is None or quantity.expression or quantity.number is None:
        return ""
    return f"{quantity.number:f}{f' {quantity.unit}' if quantity.unit else ''}"
