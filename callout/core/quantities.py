"""The flight's quantities as numbers: those given, and those computed from them.

Only what is asked for is worked out, so that lists without sums need no unit library.
"""

from __future__ import annotations

from collections.abc import Iterable

from callout.core.flight import Flight
from callout.core.judging.quantities import Quantity, evaluate
from callout.core.shapes import meant
from callout.core.templates import names_in
from callout.errors import ChecklistInvalid


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


def computed(expression: str, flight: Flight) -> Quantity:
    """Return the value of ``expression``; raise ValueMissing or ChecklistInvalid."""
    names = names_in(expression)
    missing = missing_names(names, flight)
    if missing:
        raise _missing(missing, flight)
    known = {name: _quantity(name, flight) for name in names}
    return known[expression] if expression in known else _evaluated(expression, known)


def _quantity(name: str, flight: Flight) -> Quantity:
    declared = flight.quantities[name]
    if not declared.expression:
        assert declared.number is not None
        return Quantity(declared.number, declared.unit)
    inputs = {other: _quantity(other, flight) for other in _inputs(name, declared.expression)}
    return _evaluated(declared.expression, inputs)


def _inputs(name: str, expression: str) -> tuple[str, ...]:
    """Return the names in a quantity's expression; a file cannot name itself in a circle."""
    names = names_in(expression)
    if name in names:
        raise ChecklistInvalid(f'"{name}" is computed from itself.', "Give it as a number.")
    return names


def _evaluated(expression: str, known: dict[str, Quantity]) -> Quantity:
    try:
        return evaluate(expression, known)
    except (ValueError, ArithmeticError) as error:
        hint = "Check that the quantities in it have units that go together."
        raise ChecklistInvalid(f'"{expression}" cannot be worked out: {error}.', hint) from error


def _missing(names: tuple[str, ...], flight: Flight) -> ValueMissing:
    name = names[0]
    declared = flight.quantities.get(name)
    if declared is None:
        hint = meant(name, flight.quantities) or f"Add `{name}:` to the flight file."
        return ValueMissing(f'the flight has no quantity "{name}".', hint, names)
    source = f" It comes from {declared.source}." if declared.source else ""
    hint = f"Give it with `{name}:` in the flight file."
    return ValueMissing(f"the {declared.spoken_name} is not known yet.{source}", hint, names)
