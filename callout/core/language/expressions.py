"""Arithmetic on quantities with units, for expressions over the flight's data."""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal, DecimalException
from typing import Any

from callout.core.language import units
from callout.errors import CalloutError

ALLOWED = "Use names, numbers, + - * / ( ), comparisons and the listed functions only."


class ExpressionInvalid(CalloutError):
    """An expression over the flight's data cannot be worked out."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit."""

    number: Decimal
    unit: str | None = None
    """Canonical short unit, or two of them as ``kg/L``; None for a plain number."""


def constant(node: ast.Constant) -> Quantity | bool | str:
    """Return the value of a literal: exact decimals, no bytes or other kinds."""
    if isinstance(node.value, bool | str):
        return node.value
    if isinstance(node.value, int | float):
        return Quantity(Decimal(str(node.value)))
    raise ValueError("constant")


def _quantity(value: object) -> Quantity:
    if isinstance(value, Quantity):
        return value
    raise ExpressionInvalid("a number is needed where there is none", ALLOWED)


def _alike(a: object, b: object) -> tuple[Decimal, Decimal, str | None]:
    """Return both numbers in the unit of the first that has one."""
    first, second = _quantity(a), _quantity(b)
    if first.unit is None or second.unit is None or first.unit == second.unit:
        return first.number, second.number, first.unit or second.unit
    number = units.convert(second.number, second.unit, first.unit)
    if number is None:
        raise ExpressionInvalid(
            f"{first.unit} and {second.unit} cannot be added or compared",
            "Convert one with to(...).",
        )
    return first.number, number, first.unit


def _added(sign: int) -> Callable[[object, object], Quantity]:
    def run(a: object, b: object) -> Quantity:
        left, right, unit = _alike(a, b)
        return Quantity(left + sign * right, unit)

    return run


def _compared(test: Callable[[Any, Any], bool]) -> Callable[[object, object], bool]:
    def run(a: object, b: object) -> bool:
        left, right, _ = _alike(a, b)
        return test(left, right)

    return run


def within(tolerance: Decimal) -> Mapping[type, Callable[[object, object], bool]]:
    """Return how equality is told where numbers may differ by ``tolerance``, and words may not."""

    def same(a: object, b: object) -> bool:
        if isinstance(a, str) or isinstance(b, str):
            return a == b
        left, right, _ = _alike(a, b)
        return abs(left - right) <= tolerance

    return {ast.Eq: same, ast.NotEq: lambda a, b: not same(a, b)}


def _times(a: object, b: object) -> Quantity:
    first, second = _quantity(a), _quantity(b)
    if first.unit is None or second.unit is None:
        return Quantity(first.number * second.number, first.unit or second.unit)
    return _by_library(first, second, operator.mul)


def _over(a: object, b: object) -> Quantity:
    first, second = _quantity(a), _quantity(b)
    if second.unit is None or first.unit == second.unit:
        unit = None if first.unit == second.unit else first.unit
        return Quantity(first.number / second.number, unit)
    return _by_library(first, second, operator.truediv)


def _by_library(a: Quantity, b: Quantity, how: Callable[[Any, Any], Any]) -> Quantity:
    registry = units.registry()
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
            "Check the units.",
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
    raise ExpressionInvalid(f"{a.unit} and {b.unit} give no unit of use here", "Check the units.")


def _to(value: object, unit: object) -> Quantity:
    known = _quantity(value)
    if not isinstance(unit, str) or units.library_unit(unit) is None:
        raise ExpressionInvalid(f'"{unit}" is not a known unit', f"Known: {_known_units()}.")
    number = known.number if known.unit is None else units.convert(known.number, known.unit, unit)
    if number is None:
        raise ExpressionInvalid(f"{known.unit} cannot be given in {unit}", "Check the units.")
    return Quantity(number, unit)


def _known_units() -> str:
    return ", ".join(units.LIBRARY_NAMES)


def _named(value: object, unit: object) -> Quantity:
    return _to(Quantity(_quantity(value).number), unit)


def _rounded(value: object, step: object = None) -> Quantity:
    known = _quantity(value)
    return stepped(known, Decimal(1) if step is None else _quantity(step).number, ROUND_HALF_UP)


def _whole(rounding: str) -> Callable[[object], Quantity]:
    return lambda value: stepped(_quantity(value), Decimal(1), rounding)


def stepped(value: Quantity, step: Decimal, rounding: str) -> Quantity:
    """Return ``value`` rounded to a multiple of ``step``."""
    if step <= 0:
        raise ExpressionInvalid("the step to round to must be above zero", "Use 1, 5, 0.1 ...")
    count = (value.number / step).quantize(Decimal(1), rounding=rounding)
    return Quantity(count * step, value.unit)


def _extreme(pick: Callable[[Decimal, Decimal], bool]) -> Callable[..., Quantity]:
    def run(first: object, *others: object) -> Quantity:
        best = _quantity(first)
        for other in others:
            left, right, unit = _alike(best, other)
            best = Quantity(left if pick(left, right) else right, unit)
        return best

    return run


FUNCTIONS: Mapping[str, Callable[..., Quantity]] = {
    "abs": lambda value: Quantity(abs(_quantity(value).number), _quantity(value).unit),
    "min": _extreme(operator.le),
    "max": _extreme(operator.ge),
    "floor": _whole(ROUND_FLOOR),
    "ceil": _whole(ROUND_CEILING),
    "round": _rounded,
    "to": _to,
    "quantity": _named,
}
OPERATORS: Mapping[type, Callable[..., object]] = {
    ast.Add: _added(1),
    ast.Sub: _added(-1),
    ast.Mult: _times,
    ast.Div: _over,
    ast.USub: lambda value: Quantity(-_quantity(value).number, _quantity(value).unit),
    ast.UAdd: _quantity,
    ast.Lt: _compared(operator.lt),
    ast.LtE: _compared(operator.le),
    ast.Gt: _compared(operator.gt),
    ast.GtE: _compared(operator.ge),
    ast.Eq: _compared(operator.eq),
    ast.NotEq: _compared(operator.ne),
    ast.Not: operator.not_,
}
