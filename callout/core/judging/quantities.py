"""Expected values worked out from the flight's data.

An expression such as ``fuel_on_board * density`` or ``decision_speed + 5`` is evaluated by the
simpleeval library over named quantities; units are handled by pint. No other name, attribute,
string operation or call can be reached from an expression.
"""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_FLOOR, ROUND_HALF_UP, Decimal, DecimalException
from typing import Any

from callout.core.expectation import ValueKind
from callout.core.judging import units
from callout.errors import CalloutError

LONGEST_EXPRESSION = 300
_LARGEST = Decimal(10) ** 12


class ExpressionInvalid(CalloutError):
    """An expression over the flight's data cannot be worked out."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit."""

    number: Decimal
    unit: str | None = None
    """Canonical short unit, or two of them as ``kg/L``; None for a plain number."""


_Operand = Quantity | bool | str


def quantity_key(name: str) -> str:
    """Return a quantity's name as an expression writes it ("take-off flap": take_off_flap)."""
    return "".join(c if c.isalnum() else "_" for c in name.strip().lower())


def evaluate(expression: str, quantities: Mapping[str, Quantity]) -> Quantity:
    """Return the value of ``expression``; names are keys of ``quantities``.

    Operators + - * / and comparisons, ``a if b else c``, and the functions abs, min, max, floor,
    ceil, round(x, step), to(x, "unit") and quantity(x, "unit"). A plain number added to or compared
    with a quantity takes its unit. Raises ExpressionInvalid with a sentence.
    """
    if len(expression) > LONGEST_EXPRESSION:
        raise _invalid(expression[:40] + "...", "it is too long", "Split it into named quantities.")
    names = {quantity_key(name): value for name, value in quantities.items()}
    result = _run(expression, names)
    if not isinstance(result, Quantity):
        raise _invalid(expression, "it does not give a number", "Make it give one number.")
    if not result.number.is_finite() or abs(result.number) > _LARGEST:
        raise _invalid(expression, "the result is out of range", "Check the numbers in it.")
    return result


def _run(expression: str, names: Mapping[str, Quantity]) -> object:
    import simpleeval

    if ";" in expression or "\n" in expression:
        raise _invalid(expression, "it holds more than one line or statement", _ALLOWED)
    try:
        return _evaluator(names).eval(expression.strip())
    except CalloutError as error:
        raise _invalid(expression, error.message, error.hint) from None
    except simpleeval.NameNotDefined as error:
        known = ", ".join(sorted(names)) or "none"
        raise _invalid(
            expression, f'the quantity "{error.name}" is not known', f"Known quantities: {known}."
        ) from None
    except simpleeval.FunctionNotDefined as error:
        raise _invalid(
            expression, f'the function "{error.func_name}" is not known',
            f"Known functions: {', '.join(sorted(_FUNCTIONS))}.",
        ) from None  # fmt: skip
    except (ZeroDivisionError, DecimalException):
        raise _invalid(expression, "it divides by zero or overflows", "Check the data.") from None
    except (simpleeval.InvalidExpression, SyntaxError, ValueError, TypeError, KeyError) as error:
        raise _invalid(expression, "it cannot be read", _ALLOWED) from error
    except (RecursionError, MemoryError):
        raise _invalid(expression, "it is nested too deeply", "Split it up.") from None


_ALLOWED = "Use names, numbers, + - * / ( ), comparisons and the listed functions only."


def _invalid(expression: str, why: str, hint: str) -> ExpressionInvalid:
    return ExpressionInvalid(f'The expression "{expression}" cannot be used: {why}.', hint)


def _evaluator(names: Mapping[str, Quantity]) -> Any:
    import simpleeval

    evaluator: Any = simpleeval.SimpleEval(
        operators=_OPERATORS, functions=dict(_FUNCTIONS), names=dict(names)
    )
    allowed = (
        ast.Expr,
        ast.Name,
        ast.Call,
        ast.BinOp,
        ast.UnaryOp,
        ast.Compare,
        ast.IfExp,
        ast.BoolOp,
    )
    evaluator.nodes = {k: v for k, v in evaluator.nodes.items() if k in allowed}
    evaluator.nodes[ast.Constant] = _constant
    return evaluator


def _constant(node: ast.Constant) -> _Operand:
    if isinstance(node.value, bool | str):
        return node.value
    if isinstance(node.value, int | float):
        return Quantity(Decimal(str(node.value)))
    raise ValueError("constant")


def _quantity(value: object) -> Quantity:
    if isinstance(value, Quantity):
        return value
    raise ExpressionInvalid("a number is needed where there is none", _ALLOWED)


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
    return _stepped(known, Decimal(1) if step is None else _quantity(step).number, ROUND_HALF_UP)


def _whole(rounding: str) -> Callable[[object], Quantity]:
    return lambda value: _stepped(_quantity(value), Decimal(1), rounding)


def _stepped(value: Quantity, step: Decimal, rounding: str) -> Quantity:
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


_FUNCTIONS: Mapping[str, Callable[..., Quantity]] = {
    "abs": lambda value: Quantity(abs(_quantity(value).number), _quantity(value).unit),
    "min": _extreme(operator.le),
    "max": _extreme(operator.ge),
    "floor": _whole(ROUND_FLOOR),
    "ceil": _whole(ROUND_CEILING),
    "round": _rounded,
    "to": _to,
    "quantity": _named,
}
_OPERATORS: Mapping[type, Callable[..., object]] = {
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

_STEPS = {
    ValueKind.PRESSURE: "1", ValueKind.FREQUENCY: "0.005", ValueKind.FLIGHT_LEVEL: "1",
}  # fmt: skip
_UNIT_STEPS = {"inHg": "0.01", "mach": "0.01", "t": "0.1", "units": "0.1"}


def round_as_spoken(quantity: Quantity, kind: ValueKind, step: Decimal | None = None) -> Quantity:
    """Return ``quantity`` as it is set and said.

    Half up to whole units (0.01 for inHg and Mach, 0.1 for tonnes and trim units, 0.005 MHz), or to
    ``step``. A pressure in hPa goes down to the whole hectopascal, as reported settings do (ICAO
    Annex 3, from memory); feet become hundreds for a flight level; 0 degrees is heading 360.
    """
    if kind is ValueKind.FLIGHT_LEVEL and quantity.unit == "ft":
        quantity = Quantity(quantity.number / 100)
    size = step or Decimal(_UNIT_STEPS.get(quantity.unit or "", _STEPS.get(kind, "1")))
    down = kind is ValueKind.PRESSURE and quantity.unit == "hPa" and step is None
    rounded = _stepped(quantity, size, ROUND_DOWN if down else ROUND_HALF_UP)
    if kind is ValueKind.HEADING:
        turned = rounded.number % 360
        return Quantity(turned if turned else Decimal(360), rounded.unit)
    return rounded
