"""The kind of value of a number written in a list."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from callout.core.language.tables import Label
from callout.core.model.expectation import Value, ValueKind

SIDES = ("left", "right", "centre")


@dataclass(frozen=True, slots=True)
class FoundValue:
    """One number in the text, with the words around it."""

    number: Decimal
    raw: str
    unit: str | None
    label: Label | None
    tail: str
    """A word that belongs to the number but is not a unit ("left" in "27L")."""


def value_of(found: FoundValue) -> Value:
    """Return the value; its kind comes from the name, else the unit, else the shape."""
    kind, digits, unit, number = _kind_of(found)
    decimals = len(found.raw.partition(".")[2]) or None
    if kind is ValueKind.PRESSURE:
        unit, number, decimals = _pressure_value(unit, number, decimals)
    return Value(number, unit, kind=kind, digits=digits, decimals=decimals)


def _kind_of(found: FoundValue) -> tuple[ValueKind, int | None, str | None, Decimal]:
    raw, number = found.raw, found.number
    if found.label is not None and found.label.kinds[0] is not ValueKind.NUMBER:
        kind = found.label.kinds[0]
        whole = number == number.to_integral_value()
        digits = found.label.digits if whole else None
        if kind is ValueKind.RUNWAY and not raw.startswith("0"):
            digits = None
        return kind, digits, found.unit, number
    if found.unit is not None:
        return _unit_kind(found), _leading_digits(raw), found.unit, number
    if found.tail in SIDES:
        return ValueKind.RUNWAY, _leading_digits(raw), None, number
    if found.tail == "zulu" or re.fullmatch(r"[0-2]?[0-9]:[0-5][0-9]", raw):
        digits = len(raw.replace(":", ""))
        return ValueKind.TIME, digits if digits == 4 else None, None, number
    return _bare_kind(found)


_UNIT_KINDS = {
    "hPa": ValueKind.PRESSURE, "inHg": ValueKind.PRESSURE, "mmHg": ValueKind.PRESSURE,
    "kt": ValueKind.SPEED, "mph": ValueKind.SPEED, "km/h": ValueKind.SPEED,
    "mach": ValueKind.SPEED, "ft": ValueKind.ALTITUDE, "m": ValueKind.ALTITUDE,
    "kg": ValueKind.MASS, "lb": ValueKind.MASS, "t": ValueKind.MASS, "L": ValueKind.VOLUME,
    "gal": ValueKind.VOLUME, "qt": ValueKind.VOLUME, "percent": ValueKind.PERCENT,
    "degC": ValueKind.TEMPERATURE, "degF": ValueKind.TEMPERATURE, "MHz": ValueKind.FREQUENCY,
}  # fmt: skip


def _unit_kind(found: FoundValue) -> ValueKind:
    return _UNIT_KINDS.get(found.unit or "", ValueKind.NUMBER)


def _leading_digits(raw: str) -> int | None:
    whole = raw.partition(".")[0]
    return len(whole) if len(whole) > 1 and whole.startswith("0") else None


def _bare_kind(found: FoundValue) -> tuple[ValueKind, int | None, str | None, Decimal]:
    raw, number = found.raw, found.number
    fraction = raw.partition(".")[2]
    if len(fraction) == 2 and 27 <= number < 32:
        return ValueKind.PRESSURE, None, "inHg", number
    if fraction and 108 <= number < 137:
        return ValueKind.FREQUENCY, None, None, number
    return ValueKind.NUMBER, _leading_digits(raw), None, number


def _pressure_value(
    unit: str | None, number: Decimal, decimals: int | None
) -> tuple[str | None, Decimal, int | None]:
    if unit in (None, "inHg") and 2600 <= number < 3300:
        number, decimals = number / 100, 2
    if unit is None:
        unit = "inHg" if number < 100 else "hPa"
    return unit, number, decimals
