"""Expected values computed from the flight's data.

An expression such as ``fuel_on_board * density`` or ``decision_speed + 5`` is evaluated by the
simpleeval library over named quantities; units are handled by pint. No other name, attribute,
string operation or call can be reached from an expression.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal, DecimalException
from types import MappingProxyType
from typing import Any

from callout.core.language.expressions import (
    ALLOWED,
    FUNCTIONS,
    OPERATORS,
    ExpressionInvalid,
    Quantity,
    constant_value,
    equal_within,
    rounded_step,
)
from callout.core.model.expectation import ValueKind
from callout.core.sentences import list_format
from callout.core.sentences import planning as sentences
from callout.errors import CalloutError

__all__ = [
    "ExpressionInvalid",
    "Quantity",
    "compare_quantities",
    "evaluate_expression",
    "is_true",
    "quantity_key",
    "round_as_spoken",
]

LONGEST_EXPRESSION = 300
_LARGEST = Decimal(10) ** 12


def quantity_key(name: str) -> str:
    """Return a quantity's name as expressions write it ("take-off flap": take_off_flap)."""
    return "".join(c if c.isalnum() else "_" for c in name.strip().lower())


def evaluate_expression(expression: str, quantities: Mapping[str, Quantity]) -> Quantity:
    """Return the value of ``expression``; names are keys of ``quantities``.

    Operators + - * / and comparisons, ``a if b else c``, and the functions abs, min, max, floor,
    ceil, round(x, step), to(x, "unit") and quantity(x, "unit"). A plain number added to or compared
    with a quantity takes its unit. Raises ExpressionInvalid with a sentence.
    """
    if len(expression) > LONGEST_EXPRESSION:
        raise _invalid_expression(
            expression[:40] + "...", "it is too long", sentences.LONG_EXPRESSION_HINT
        )
    names = {quantity_key(name): value for name, value in quantities.items()}
    result = _run_expression(expression, names)
    if not isinstance(result, Quantity):
        raise _invalid_expression(
            expression, "it does not give a number", sentences.ONE_NUMBER_HINT
        )
    if not result.number.is_finite() or abs(result.number) > _LARGEST:
        raise _invalid_expression(expression, "the result is out of range", sentences.CHECK_NUMBERS)
    return result


def compare_quantities(expression: str, quantities: Mapping[str, Quantity]) -> bool:
    """Return whether a comparison such as ``v1 <= rotate_speed`` is true.

    Raises ExpressionInvalid with a sentence.
    """
    result = _run_expression(
        expression, {quantity_key(name): value for name, value in quantities.items()}
    )
    if not isinstance(result, bool):
        raise _invalid_expression(expression, "it compares nothing", sentences.EXAMPLE_SPEEDS)
    return result


def is_true(
    expression: str, names: Mapping[str, Quantity | str], tolerance: Decimal = Decimal(0)
) -> bool:
    """Return whether a condition over numbers and words, such as ``beacon == on``, is true.

    tolerance: the difference up to which two numbers count as equal. Words can only be compared.
    Raises ExpressionInvalid with a sentence.
    """
    result = _run_expression(expression, names, equal_within(tolerance))
    if not isinstance(result, bool):
        raise _invalid_expression(expression, "it compares nothing", list_format.EXAMPLE_PROOF)
    return result


_Operators = Mapping[type, Callable[..., object]]


def _run_expression(
    expression: str, names: Mapping[str, Quantity | str], besides: _Operators = MappingProxyType({})
) -> object:
    import simpleeval

    if ";" in expression or "\n" in expression:
        raise _invalid_expression(expression, "it holds more than one line or statement", ALLOWED)
    try:
        return _make_evaluator(names, besides).eval(expression.strip())
    except CalloutError as error:
        raise _invalid_expression(expression, error.message, error.hint) from None
    except simpleeval.NameNotDefined as error:
        known = ", ".join(sorted(names)) or "none"
        raise _invalid_expression(
            expression,
            f'the quantity "{error.name}" is not known',
            sentences.known_quantities(known),
        ) from None
    except simpleeval.FunctionNotDefined as error:
        raise _invalid_expression(
            expression, f'the function "{error.func_name}" is not known',
            sentences.known_functions(', '.join(sorted(FUNCTIONS))),
        ) from None  # fmt: skip
    except (ZeroDivisionError, DecimalException):
        raise _invalid_expression(
            expression, "it divides by zero or overflows", sentences.CHECK_DATA
        ) from None
    except (simpleeval.InvalidExpression, SyntaxError, ValueError, TypeError, KeyError) as error:
        raise _invalid_expression(expression, "it cannot be read", ALLOWED) from error
    except (RecursionError, MemoryError):
        raise _invalid_expression(
            expression, "it is nested too deeply", sentences.SPLIT_UP
        ) from None


def _invalid_expression(expression: str, why: str, hint: str) -> ExpressionInvalid:
    return ExpressionInvalid(sentences.expression_invalid(expression, why), hint)


def _make_evaluator(names: Mapping[str, Quantity | str], besides: _Operators) -> Any:
    import simpleeval

    evaluator: Any = simpleeval.SimpleEval(
        operators={**OPERATORS, **besides}, functions=dict(FUNCTIONS), names=dict(names)
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
    evaluator.nodes[ast.Constant] = constant_value
    return evaluator


_STEPS = {
    ValueKind.PRESSURE: "1", ValueKind.FREQUENCY: "0.005", ValueKind.FLIGHT_LEVEL: "1",
}  # fmt: skip
_UNIT_STEPS = {"inHg": "0.01", "mach": "0.01", "t": "0.1", "units": "0.1"}


def round_as_spoken(quantity: Quantity, kind: ValueKind, step: Decimal | None = None) -> Quantity:
    """Return ``quantity`` rounded as it is set and spoken.

    Half up to whole units (0.01 for inHg and Mach, 0.1 for tonnes and trim units, 0.005 MHz), or to
    ``step``. A pressure in hPa goes down to the whole hectopascal, as reported settings do (ICAO
    Annex 3, from memory); feet become hundreds for a flight level; 0 degrees is heading 360.
    """
    if kind is ValueKind.FLIGHT_LEVEL and quantity.unit == "ft":
        quantity = Quantity(quantity.number / 100)
    size = step or Decimal(_UNIT_STEPS.get(quantity.unit or "", _STEPS.get(kind, "1")))
    down = kind is ValueKind.PRESSURE and quantity.unit == "hPa" and step is None
    rounded = rounded_step(quantity, size, ROUND_DOWN if down else ROUND_HALF_UP)
    if kind is ValueKind.HEADING:
        turned = rounded.number % 360
        return Quantity(turned if turned else Decimal(360), rounded.unit)
    return rounded
