"""Units of measure: which one was said, and conversion by the pint library."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from typing import Any

from callout.core.expectation import Value, ValueKind
from callout.core.judging.tables import Tables

SAME_UNIT = frozenset({("deg", "degC"), ("deg", "degF"), ("h", "Z")})
"""(said, expected): the short word is enough for the long one."""


@lru_cache(maxsize=1)
def registry() -> Any:
    """Return the unit registry with exact decimals; the library is loaded on first use only."""
    import pint

    units: Any = pint.UnitRegistry(non_int_type=Decimal, cache_folder=None)
    return units


@lru_cache(maxsize=4096)
def convert(number: Decimal, unit: str, into: str, tables: Tables) -> Decimal | None:
    """Return ``number`` of ``unit`` in ``into``, or None where they do not measure the same."""
    if unit == into:
        return number
    known = tables.units
    if unit not in known or into not in known:
        return None
    units = registry()
    try:
        here = units.Quantity(number, units.Unit(known[unit].library))
        there = here.to(units.Unit(known[into].library)).magnitude
    except Exception:  # the library's own errors differ by version; none of them is a match
        return None
    return Decimal(there)


def step(unit: str | None, tables: Tables) -> Decimal:
    """Return the smallest difference shown in ``unit``."""
    found = tables.units.get(unit or "")
    return Decimal(found.step) if found else Decimal(1)


def likely_unit(value: Value) -> str | None:
    """Return the unit a bare number of this size almost certainly has, or None."""
    if value.unit is not None:
        return value.unit
    if value.kind is ValueKind.PRESSURE:
        return "inHg" if value.number < 100 else "hPa"
    whole = value.number == value.number.to_integral_value()
    if value.kind is ValueKind.NUMBER and whole and 940 <= value.number <= 1060:
        return "hPa"
    return None
