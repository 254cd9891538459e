"""Arithmetic on quantities with units, for expressions over the flight's data."""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal, DecimalException
from typing import Any

from callout.core.language import units
from callout.core.sentences import planning as sentences
from callout.errors import CalloutError

ALLOWED = sentences.EXPRESSION_HINT


class ExpressionInvalid(CalloutError):
    """An expression over the flight's data cannot be computed."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit."""

    number: Decimal
    unit: str | None = None
    """Canonical short unit, or two of them as ``kg/L``; None for a plain number."""


def constant_value(node: ast.Constant) -> Quantity | bool | str:
    """Return the value of a literal: exact decimals, no bytes or other kinds."""
    if isinstance(node.value, bool | str):
        return node.value
    if isinstance(node.value, int | float):
        return Quantity(Decimal(str(node.value)))
    raise ValueError("constant")


def _as_quantity(value: object) -> Quantity:
    if isinstance(value, Quantity):
        return value
    raise ExpressionInvalid("a number is needed where there is none", ALLOWED)


def _in_one_unit(a: object, b: object) -> tuple[Decimal, Decimal, str | None]:
    """Return both numbers in the unit of whichever has one, the first before the second."""
    first, second = _as_quantity(a), _as_quantity(b)
    if first.unit is None or second.unit is None or first.unit == second.unit:
        return first.number, second.number, first.unit or second.unit
    number = units.convert_unit(second.number, second.unit, first.unit)
    if number is None:
        raise ExpressionInvalid(
            f"{first.unit} and {second.unit} cannot be added or compared",
            sentences.MIXED_UNITS_HINT,
        )
    return first.number, number, first.unit


def _added_with(sign: int) -> Callable[[object, object], Quantity]:
    def run(a: object, b: object) -> Quantity:
        left, right, unit = _in_one_unit(a, b)
        return Quantity(left + sign * right, unit)

    return run


def _compared_with(test: Callable[[Any, Any], bool]) -> Callable[[object, object], bool]:
    def run(a: object, b: object) -> bool:
        left, right, _ = _in_one_unit(a, b)
        return test(left, right)

    return run


def equal_within(tolerance: Decimal) -> Mapping[type, Callable[[object, object], bool]]:
    """Return an equality test in which numbers may differ by ``tolerance`` and words may not."""

    def same(a: object, b: object) -> bool:
        if isinstance(a, str) or isinstance(b, str):
            return a == b
        left, right, _ = _in_one_unit(a, b)
        return abs(left - right) <= tolerance

    return {ast.Eq: same, ast.NotEq: lambda a, b: not same(a, b)}


def _multiplied(a: object, b: object) -> Quantity:
    first, second = _as_quantity(a), _as_quantity(b)
    if first.unit is None or second.unit is None:
        return Quantity(first.number * second.number, first.unit or second.unit)
    return _by_library(first, second, operator.mul)


def _divided(a: object, b: object) -> Quantity:
    first, second = _as_quantity(a), _as_quantity(b)
    if second.unit is None or first.unit == second.unit:
        unit = None if first.unit == second.unit else first.unit
        return Quantity(first.number / second.number, unit)
    return _by_library(first, second, operator.truediv)


def _by_library(a: Quantity, b: Quantity, how: Callable[[Any, Any], Any]) -> Quantity:
    registry = units.unit_registry()
    try:
        both = (
            registry.Quantity(q.number, units.library_unit(q.unit) if q.unit else None)
            for q in (a, b)
        )
        result = how(*both).to_reduced_units()
    except (ZeroDivisionError, DecimalException):
        raise
    except Exception:
        raise ExpressionInvalid(
            f"{a.unit or 'a number'} and {b.unit or 'a number'} do not go together",
            sentences.CHECK_UNITS,
        ) from None
    return Quantity(Decimal(result.magnitude), _short_unit(result.units, a, b))


def _short_unit(unit: Any, a: Quantity, b: Quantity) -> str | None:
    if unit.dimensionless:
        return None
    for name in units.LIBRARY_NAMES:
        if units.library_unit(name) == unit:
            return name
    for one in units.LIBRARY_NAMES:
        for other in units.LIBRARY_NAMES:
            if one != other and units.library_unit(f"{one}/{other}") == unit:
                return f"{one}/{other}"
    raise ExpressionInvalid(
        f"{a.unit} and {b.unit} give no unit of use here", sentences.CHECK_UNITS
    )


def _converted_to(value: object, unit: object) -> Quantity:
    known = _as_quantity(value)
    if not isinstance(unit, str) or units.library_unit(unit) is None:
        raise ExpressionInvalid(f'"{unit}" is not a known unit', f"Known: {_known_units()}.")
    number = (
        known.number if known.unit is None else units.convert_unit(known.number, known.unit, unit)
    )
    if number is None:
        raise ExpressionInvalid(f"{known.unit} cannot be given in {unit}", sentences.CHECK_UNITS)
    return Quantity(number, unit)


def _known_units() -> str:
    return ", ".join(units.LIBRARY_NAMES)


def _with_unit(value: object, unit: object) -> Quantity:
    return _converted_to(Quantity(_as_quantity(value).number), unit)


def _rounded_to(value: object, step: object = None) -> Quantity:
    known = _as_quantity(value)
    return rounded_step(
        known, Decimal(1) if step is None else _as_quantity(step).number, ROUND_HALF_UP
    )


def _rounded_whole(rounding: str) -> Callable[[object], Quantity]:
    return lambda value: rounded_step(_as_quantity(value), Decimal(1), rounding)


def rounded_step(value: Quantity, step: Decimal, rounding: str) -> Quantity:
    """Return ``value`` rounded to a multiple of ``step``."""
    if step <= 0:
        raise ExpressionInvalid("the step to round to must be above zero", "Use 1, 5, 0.1 ...")
    count = (value.number / step).quantize(Decimal(1), rounding=rounding)
    return Quantity(count * step, value.unit)


def _extreme_of(pick: Callable[[Decimal, Decimal], bool]) -> Callable[..., Quantity]:
    def run(first: object, *others: object) -> Quantity:
        best = _as_quantity(first)
        for other in others:
            left, right, unit = _in_one_unit(best, other)
            best = Quantity(left if pick(left, right) else right, unit)
        return best

    return run


FUNCTIONS: Mapping[str, Callable[..., Quantity]] = {
    "abs": lambda value: Quantity(abs(_as_quantity(value).number), _as_quantity(value).unit),
    "min": _extreme_of(operator.le),
    "max": _extreme_of(operator.ge),
    "floor": _rounded_whole(ROUND_FLOOR),
    "ceil": _rounded_whole(ROUND_CEILING),
    "round": _rounded_to,
    "to": _converted_to,
    "quantity": _with_unit,
}
OPERATORS: Mapping[type, Callable[..., object]] = {
    ast.Add: _added_with(1),
    ast.Sub: _added_with(-1),
    ast.Mult: _multiplied,
    ast.Div: _divided,
    ast.USub: lambda value: Quantity(-_as_quantity(value).number, _as_quantity(value).unit),
    ast.UAdd: _as_quantity,
    ast.Lt: _compared_with(operator.lt),
    ast.LtE: _compared_with(operator.le),
    ast.Gt: _compared_with(operator.gt),
    ast.GtE: _compared_with(operator.ge),
    ast.Eq: _compared_with(operator.eq),
    ast.NotEq: _compared_with(operator.ne),
    ast.Not: operator.not_,
}
