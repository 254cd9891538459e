"""The number for one slot of a response, and how it is spoken."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from callout.core.language.quantities import Quantity, round_as_spoken
from callout.core.language.tables import Tables
from callout.core.language.units import convert_unit
from callout.core.model.checklist import Response
from callout.core.model.expectation import Part, Value, ValueKind, Words
from callout.core.model.flight import Flight, FlightQuantity
from callout.core.planning.quantities import computed_amount
from callout.core.planning.templates import Slot, written_number
from callout.core.planning.unit_names import unit_named, units_named
from callout.core.sentences import list_format
from callout.core.sentences import planning as sentences
from callout.errors import ChecklistInvalid

_DIGITS = {ValueKind.HEADING: 3, ValueKind.TRANSPONDER: 4}
"""Kinds that always have a fixed number of digits (ICAO Doc 9432)."""


def value_of(slot: Slot, response: Response, flight: Flight, tables: Tables) -> Value:
    """Return the value of ``slot`` as ``response`` asks for it; raise ChecklistInvalid."""
    number, about = _number_of(slot, flight, tables)
    own = unit_named(about.unit, tables)
    unit = unit_named(response.unit, tables) or _declared_unit(slot, flight, tables) or own
    if own and unit and own != unit:
        number = _converted_number(number, own, unit)
        about = replace(about, decimals=None)
    decimals = about.decimals if response.decimals is None else response.decimals
    kind = response.kind or about.kind or _usual_kind(unit, tables)
    if own != unit or (slot.literal is None and about.number is None):
        step = None if decimals is None else Decimal(1).scaleb(-decimals)
        number = round_as_spoken(Quantity(number, unit), kind, step).number
    required = response.unit_required
    return Value(
        number=number,
        unit=unit,
        tolerance=_slot_tolerance(response, about, own, unit),
        kind=kind,
        digits=response.digits or about.digits or _DIGITS.get(kind),
        decimals=decimals,
        unit_required=about.unit_required if required is None else required,
        other_units=units_named(response.other_units or about.other_units, tables),
        name=response.name or about.label or _in_words(about.name),
    )


def with_options(part: Part, response: Response, tables: Tables) -> Part:
    """Give a number written in a text the form and tolerance that its response asks for."""
    if isinstance(part, Words):
        return part
    unit = unit_named(response.unit, tables) or part.unit
    if part.unit not in (None, unit):
        fault = f'"{response.text}" is given in {part.unit} and in {unit}.'
        raise ChecklistInvalid(fault, list_format.UNIT_TWICE_HINT)
    tolerance = part.tolerance if response.tolerance is None else response.tolerance
    limit, required = response.tolerance_limit, response.unit_required
    return replace(
        part,
        unit=unit,
        tolerance=tolerance if limit is None else min(tolerance, limit),
        kind=response.kind or (_usual_kind(unit, tables) if part.unit != unit else part.kind),
        digits=response.digits or part.digits,
        decimals=part.decimals if response.decimals is None else response.decimals,
        unit_required=part.unit_required if required is None else required,
        other_units=units_named(response.other_units, tables) or part.other_units,
        name=response.name or part.name,
    )


def shown_value(value: Value, unit: bool = True) -> str:
    """Return the value as shown to a person ("1018 hPa", "005")."""
    number = value.number
    if value.decimals is not None:
        number = number.quantize(Decimal(1).scaleb(-value.decimals))
    text = format(number, "f")
    if value.decimals is None and "." in text:
        text = text.rstrip("0").rstrip(".")
    if value.digits is not None:
        whole, dot, fraction = text.partition(".")
        text = whole.zfill(value.digits) + dot + fraction
    return f"{text} {value.unit}" if unit and value.unit else text


def _number_of(slot: Slot, flight: Flight, tables: Tables) -> tuple[Decimal, FlightQuantity]:
    """Return the number of ``slot`` and how it is spoken, as far as known."""
    if slot.literal:
        given = written_number(*slot.literal)
        about = FlightQuantity("", unit=given.unit, digits=given.digits, decimals=given.decimals)
        return given.number, about
    number, unit = computed_amount(slot.source, flight, tables)
    about = flight.quantities.get(slot.source, FlightQuantity(slot.source))
    return number, replace(about, unit=unit)


def _declared_unit(slot: Slot, flight: Flight, tables: Tables) -> str | None:
    """Return the unit in which the flight file wants a computed quantity, if it gives one."""
    declared = flight.quantities.get(slot.source)
    return unit_named(declared.unit, tables) if declared else None


def _converted_number(number: Decimal, unit: str, into: str) -> Decimal:
    there = convert_unit(number, unit, into)
    if there is None:
        hint = sentences.OTHER_MEASURE_HINT
        raise ChecklistInvalid(sentences.no_conversion(unit, into), hint)
    return there


def _slot_tolerance(
    response: Response, about: FlightQuantity, own: str | None, unit: str | None
) -> Decimal:
    """Return the accepted difference in ``unit``; it never exceeds an overlay's limit."""
    tolerance = response.tolerance
    if tolerance is None:
        tolerance = about.tolerance or Decimal(0)
        if own and unit and own != unit:
            tolerance = abs(
                _converted_number(tolerance, own, unit) - _converted_number(Decimal(0), own, unit)
            )
    limit = response.tolerance_limit
    return tolerance if limit is None else min(tolerance, limit)


def _usual_kind(unit: str | None, tables: Tables) -> ValueKind:
    known = tables.units.get(unit or "")
    return known.kind if known else ValueKind.NUMBER


def _in_words(name: str) -> str:
    return name.replace("_", " ") if name.isidentifier() else ""
