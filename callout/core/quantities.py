"""The flight's quantities as numbers: those given, and those computed from them.

Only what is asked for is worked out, so that lists without sums need no unit library.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from callout.core.flight import Flight
from callout.core.judging.quantities import Quantity, evaluate
from callout.core.judging.tables import Tables
from callout.core.shapes import meant
from callout.core.templates import names_in
from callout.core.unit_names import unit_named
from callout.errors import CalloutError, ChecklistInvalid


class ValueMissing(ChecklistInvalid):
    """A quantity is not known yet; ``names`` says which."""

    def __init__(self, message: str, hint: str, names: tuple[str, ...]) -> None:
        super().__init__(message, hint)
        self.names = names


def missing_names(names: Iterable[str], flight: Flight) -> tuple[str, ...]:
    """Return those of ``names``, or of what they are computed from, that are not known."""
    missing: list[str] = []
    for name in dict.fromkeys(names):
        declared = flight.quantities.get(name)
        if declared is not None and declared.expression:
            missing += missing_names(_inputs(name, declared.expression), flight)
        elif declared is None or declared.number is None:
            missing.append(name)
    return tuple(dict.fromkeys(missing))


Amount = tuple[Decimal, str | None]
"""A number and its unit."""


def computed(expression: str, flight: Flight, tables: Tables) -> Amount:
    """Return the value of ``expression``; raise ValueMissing or ChecklistInvalid."""
    names = names_in(expression)
    missing = missing_names(names, flight)
    if missing:
        raise _missing(missing, flight)
    if names == (expression,):
        return _amount(expression, flight, tables)
    return _evaluated(expression, names, flight, tables)


def _amount(name: str, flight: Flight, tables: Tables) -> Amount:
    declared = flight.quantities[name]
    if declared.expression:
        names = _inputs(name, declared.expression)
        return _evaluated(declared.expression, names, flight, tables)
    assert declared.number is not None
    return declared.number, unit_named(declared.unit, tables)


def _inputs(name: str, expression: str) -> tuple[str, ...]:
    """Return the names in a quantity's expression; a file cannot name itself in a circle."""
    names = names_in(expression)
    if name in names:
        raise ChecklistInvalid(f'"{name}" is computed from itself.', "Give it as a number.")
    return names


def _evaluated(expression: str, names: tuple[str, ...], flight: Flight, tables: Tables) -> Amount:
    known = {name: Quantity(*_amount(name, flight, tables)) for name in names}
    try:
        result = evaluate(expression, known)
    except CalloutError as error:
        raise ChecklistInvalid(error.message, error.hint) from error
    return result.number, result.unit


def _missing(names: tuple[str, ...], flight: Flight) -> ValueMissing:
    name = names[0]
    declared = flight.quantities.get(name)
    if declared is None:
        hint = meant(name, flight.quantities) or f"Add `{name}:` to the flight file."
        return ValueMissing(f'the flight has no quantity "{name}".', hint, names)
    source = f" It comes from {declared.source}." if declared.source else ""
    hint = f"Give it with `{name}:` in the flight file."
    return ValueMissing(f"the {declared.spoken_name} is not known yet.{source}", hint, names)
