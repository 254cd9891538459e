"""Units of measure: which one was said, and conversion with the pint library."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

from callout.core.language.tables import Tables
from callout.core.model.expectation import Value, ValueKind

SAME_UNIT = frozenset({("deg", "degC"), ("deg", "degF")})
"""(said, expected): the short name is enough for the long one."""

LIBRARY_NAMES: Mapping[str, str] = {
    "hPa": "hectopascal", "inHg": "inch_Hg", "mmHg": "millimeter_Hg", "psi": "psi",
    "bar": "bar", "kPa": "kilopascal",
    "kt": "knot", "mph": "mph", "km/h": "kilometer_per_hour", "ft": "foot", "m": "meter",
    "km": "kilometer", "NM": "nautical_mile", "fpm": "foot/minute", "kg": "kilogram",
    "lb": "pound", "t": "metric_ton", "L": "liter", "gal": "gallon", "qt": "quart",
    "percent": "percent", "degC": "degree_Celsius", "degF": "degree_Fahrenheit",
    "deg": "degree", "MHz": "megahertz", "kHz": "kilohertz", "V": "volt", "A": "ampere",
    "rpm": "revolutions_per_minute", "h": "hour", "min": "minute", "s": "second",
    "g": "standard_gravity", "mach": "dimensionless", "units": "dimensionless",
}  # fmt: skip
"""Canonical short unit -> its name in the unit library."""


@lru_cache(maxsize=1)
def unit_registry() -> Any:
    """Return the unit registry with exact decimals; the library is loaded on first use only."""
    import pint

    units: Any = pint.UnitRegistry(non_int_type=Decimal, cache_folder=None)
    return units


@lru_cache(maxsize=256)
def library_unit(unit: str) -> Any | None:
    """Return the library's unit for a canonical one, or for a ratio such as "kg/L"; else None."""
    if unit in LIBRARY_NAMES:
        return unit_registry().Unit(LIBRARY_NAMES[unit])
    above, _, below = unit.partition("/")
    if above in LIBRARY_NAMES and below in LIBRARY_NAMES:
        return unit_registry().Unit(f"({LIBRARY_NAMES[above]})/({LIBRARY_NAMES[below]})")
    return None


@lru_cache(maxsize=4096)
def convert_unit(number: Decimal, unit: str, into: str) -> Decimal | None:
    """Return ``number`` of ``unit`` converted to ``into``, or None if they measure different
    things.
    """
    if unit == into:
        return number
    here, there = library_unit(unit), library_unit(into)
    if here is None or there is None:
        return None
    try:
        return Decimal(unit_registry().Quantity(number, here).to(there).magnitude)
    except Exception:  # the library's own errors vary by version; none of them counts as a match
        return None


def smallest_step(unit: str | None, tables: Tables) -> Decimal:
    """Return the smallest difference shown in ``unit``."""
    found = tables.units.get(unit or "")
    return Decimal(found.step) if found else Decimal(1)


def likely_unit(value: Value) -> str | None:
    """Return the unit that a bare number of this size almost certainly has, or None."""
    if value.unit is not None:
        return value.unit
    if value.kind is ValueKind.PRESSURE:
        return "inHg" if value.number < 100 else "hPa"
    whole = value.number == value.number.to_integral_value()
    if value.kind is ValueKind.NUMBER and whole and 940 <= value.number <= 1060:
        return "hPa"
    return None
