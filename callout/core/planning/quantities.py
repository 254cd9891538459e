"""The flight's quantities as numbers: given ones, and those computed from them.

Values are computed on demand, so that lists without calculations need no unit library.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from callout.core.language.quantities import Quantity, compare_quantities, evaluate_expression
from callout.core.language.tables import Tables
from callout.core.language.units import convert_unit
from callout.core.model.flight import Flight, LookUp
from callout.core.model.shapes import did_you_mean
from callout.core.planning.templates import names_in
from callout.core.planning.unit_names import unit_named
from callout.core.sentences import planning as sentences
from callout.errors import CalloutError, ChecklistInvalid


class ValueMissing(ChecklistInvalid):
    """A quantity is not yet known; ``names`` says which."""

    def __init__(self, message: str, hint: str, names: tuple[str, ...]) -> None:
        super().__init__(message, hint)
        self.names = names


def missing_names(names: Iterable[str], flight: Flight) -> tuple[str, ...]:
    """Return those of ``names``, or of their inputs, that are not known."""
    missing: list[str] = []
    for name in dict.fromkeys(names):
        declared = flight.quantities.get(name)
        if declared is not None and declared.expression:
            missing += missing_names(_expression_inputs(name, declared.expression), flight)
        elif declared is None or declared.number is None:
            table = flight.look_up(name)
            missing += missing_names([table.by], flight) if table else [name]
    return tuple(dict.fromkeys(missing))


Amount = tuple[Decimal, str | None]
"""A number and its unit."""


def computed_amount(expression: str, flight: Flight, tables: Tables) -> Amount:
    """Return the value of ``expression``; raise ValueMissing or ChecklistInvalid."""
    names = names_in(expression)
    missing = missing_names(names, flight)
    if missing:
        raise _value_missing(missing, flight)
    if names == (expression,):
        return _quantity_amount(expression, flight, tables)
    return _evaluated_amount(expression, names, flight, tables)


def _quantity_amount(name: str, flight: Flight, tables: Tables) -> Amount:
    declared = flight.quantities[name]
    if declared.expression:
        names = _expression_inputs(name, declared.expression)
        return _evaluated_amount(declared.expression, names, flight, tables)
    table = flight.look_up(name)
    if declared.number is None and table:
        return looked_up(name, table, flight, tables)
    assert declared.number is not None
    return declared.number, unit_named(declared.unit, tables)


def looked_up(name: str, table: LookUp, flight: Flight, tables: Tables) -> Amount:
    """Return what ``table`` gives for ``name``, with linear interpolation between two rows.

    Raises ValueMissing, and ChecklistInvalid if the flight lies outside the table.
    """
    number, unit = computed_amount(table.by, flight, tables)
    own = unit_named(table.unit, tables)
    at = number if unit == own else convert_unit(number, unit or "", own or "")
    rows = table.rows
    if at is None or not rows[0][0] <= at <= rows[-1][0]:
        raise _outside_table(name, table, f"{number:f} {unit or ''}".strip(), flight)
    below = next(row for row in reversed(rows) if row[0] <= at)
    above = next(row for row in rows if row[0] >= at)
    low, high = below[1][name], above[1][name]
    share = (at - below[0]) / (above[0] - below[0]) if above[0] > below[0] else Decimal(0)
    return low + (high - low) * share, unit_named(table.units[name], tables)


def _outside_table(name: str, table: LookUp, at: str, flight: Flight) -> ChecklistInvalid:
    known = flight.quantities
    by, wanted = known[table.by].spoken_name, known[name].spoken_name
    span = f"{table.rows[0][0]:f} to {table.rows[-1][0]:f} {table.unit or ''}".strip()
    fault = f"the {wanted} cannot be looked up: the {by} is {at}, and the table has {span}."
    return ChecklistInvalid(fault, sentences.outside_table_hint(by, wanted))


def _expression_inputs(name: str, expression: str) -> tuple[str, ...]:
    """Return the names in a quantity's expression; a file cannot contain a circular definition."""
    names = names_in(expression)
    if name in names:
        raise ChecklistInvalid(f'"{name}" is computed from itself.', sentences.GIVE_AS_NUMBER)
    return names


def _evaluated_amount(
    expression: str, names: tuple[str, ...], flight: Flight, tables: Tables
) -> Amount:
    known = {name: Quantity(*_quantity_amount(name, flight, tables)) for name in names}
    try:
        result = evaluate_expression(expression, known)
    except CalloutError as error:
        raise ChecklistInvalid(error.message, error.hint) from error
    return result.number, result.unit


def _value_missing(names: tuple[str, ...], flight: Flight) -> ValueMissing:
    name = names[0]
    declared = flight.quantities.get(name)
    if declared is None:
        hint = did_you_mean(name, flight.quantities) or sentences.value_missing_hint(name)
        return ValueMissing(f'the flight has no quantity "{name}".', hint, names)
    source = sentences.it_comes_from(declared.source) if declared.source else ""
    hint = sentences.value_in_flight_hint(name)
    return ValueMissing(f"the {declared.spoken_name} is not known yet.{source}", hint, names)


def text_of(name: str, flight: Flight, tables: Tables) -> str | None:
    """Return a named text of the flight, or None; raises like ``computed_amount``.

    Among equal quantities the first is the greatest and the last the least.
    """
    compared = flight.compared.get(name)
    if compared is None:
        return flight.words.get(name)
    best, *others = compared.of
    for word, other in others:
        sign = ">" if compared.most else "<="
        if comparison_holds(f"{other} {sign} {best[1]}", flight, tables):
            best = word, other
    return best[0]


def comparison_holds(comparison: str, flight: Flight, tables: Tables) -> bool:
    """Say whether a comparison of quantities is true; raises like ``computed_amount``."""
    names = names_in(comparison)
    missing = missing_names(names, flight)
    if missing:
        raise _value_missing(missing, flight)
    known = {name: Quantity(*_quantity_amount(name, flight, tables)) for name in names}
    try:
        return compare_quantities(comparison, known)
    except CalloutError as error:
        raise ChecklistInvalid(error.message, error.hint) from error
