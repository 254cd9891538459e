"""Expected values from flight data: arithmetic, units, rounding, and refusals."""

from __future__ import annotations

from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.core.language.quantities import (
    ExpressionInvalid,
    Quantity,
    evaluate_expression,
    quantity_key,
    round_as_spoken,
)
from callout.core.model.expectation import ValueKind
from callout.errors import CalloutError

D = Decimal
FLIGHT = {
    "take-off flap": Quantity(D(5)),
    "fuel on board": Quantity(D(30), "gal"),
    "density": Quantity(D(6), "lb/gal"),
    "v1": Quantity(D(125), "kt"),
    "qnh": Quantity(D("1013.25"), "hPa"),
    "oat": Quantity(D(15), "degC"),
    "litres": Quantity(D(100), "L"),
    "cleared": Quantity(D(19000), "ft"),
}


@pytest.mark.parametrize(
    ("expression", "number", "unit"),
    [
        ("take_off_flap", "5", None),
        ("v1 + 5", "130", "kt"),
        ("max(v1, 130)", "130", "kt"),
        ("min(v1, quantity(200, 'kt'))", "125", "kt"),
        ("v1 if v1 > 120 else 120", "125", "kt"),
        ("-v1 / 5", "-25", "kt"),
        ("round(v1, 10)", "130", "kt"),
        ("floor(v1 / 2)", "62", "kt"),
        ("ceil(v1 / 2)", "63", "kt"),
        ("abs(-3)", "3", None),
        ("0.1 + 0.2", "0.3", None),
        # 30 gal of avgas at 6 lb/gal = 180 lb (reference notes, calculated).
        ("fuel_on_board * density", "180", "lb"),
    ],
)
def test_values(expression: str, number: str, unit: str | None) -> None:
    assert evaluate_expression(expression, FLIGHT) == Quantity(D(number), unit)


@pytest.mark.parametrize(
    ("expression", "number", "unit", "places"),
    [
        # Exact definitions: 1 US gal = 3.785411784 L, 1 lb = 0.45359237 kg, 1 NM = 1.852 km.
        ("to(quantity(25, 'gal'), 'L')", "94.64", "L", 2),
        ("to(litres, 'gal')", "26.42", "gal", 2),
        ("to(quantity(1, 'kg'), 'lb')", "2.20462", "lb", 5),
        ("to(quantity(240, 'lb'), 'kg')", "108.86", "kg", 2),
        ("to(quantity(1, 'NM'), 'km')", "1.852", "km", 3),
        # Pressure pairs (reference notes, calculated): 1013.25 hPa = 29.9213 inHg, 30.01 = 1016.26.
        ("to(qnh, 'inHg')", "29.9213", "inHg", 4),
        ("to(quantity(30.01, 'inHg'), 'hPa')", "1016.26", "hPa", 2),
        ("to(quantity(28.50, 'inHg'), 'hPa')", "965.12", "hPa", 2),
        ("to(oat, 'degF')", "59", "degF", 6),
    ],
)
def test_conversions(expression: str, number: str, unit: str, places: int) -> None:
    found = evaluate_expression(expression, FLIGHT)
    assert (round(found.number, places), found.unit) == (D(number), unit)


REFUSED = [
    "", "v1 +", "nowhere", "v1 * v1", "v1 + qnh", "1 / 0", "v1; v1", "v1\nv1", "'a' * 1000",
    "9 ** 9 ** 9", "1e400", "v1.__class__", "().__class__.__bases__", "__import__('os')",
    "open('/etc/passwd')", "[x for x in (1,)]", "lambda: 1", "f'{v1}'", "v1[0]", "{}", "(1,)",
    "True + 1", "v1 < qnh", "1 < 2", "not v1", "min()", "abs()", "to(v1, 'kg')", "to(v1, 'x')",
    "quantity('a', 'kg')", "round(v1, 0)", "x" * 400, "(" * 140 + ")" * 140, "0x10 @ 3", "1 << 99",
    "...", "None", "b'a'", "1j",
]  # fmt: skip


@pytest.mark.parametrize("expression", REFUSED)
def test_refused_with_a_sentence(expression: str) -> None:
    with pytest.raises(ExpressionInvalid) as caught:
        evaluate_expression(expression, FLIGHT)
    assert isinstance(caught.value, CalloutError)
    assert caught.value.message.startswith("The expression ")
    assert caught.value.hint


@given(st.text(alphabet="v1qnh+-*/()., '<>ifelse\n0123456789_x", max_size=40))
def test_any_text_is_a_value_or_a_refusal(expression: str) -> None:
    with suppress(ExpressionInvalid):
        assert isinstance(evaluate_expression(expression, FLIGHT), Quantity)


def test_names_as_people_write_them() -> None:
    assert quantity_key("Take-off flap") == "take_off_flap"


@pytest.mark.parametrize(
    ("quantity", "kind", "step", "number"),
    [
        (Quantity(D("1013.9"), "hPa"), ValueKind.PRESSURE, None, "1013"),
        (Quantity(D("29.9213"), "inHg"), ValueKind.PRESSURE, None, "29.92"),
        (Quantity(D("124.5"), "kt"), ValueKind.SPEED, None, "125"),
        (Quantity(D(5612), "kg"), ValueKind.MASS, D(50), "5600"),
        (Quantity(D(19000), "ft"), ValueKind.FLIGHT_LEVEL, None, "190"),
        (Quantity(D("359.6")), ValueKind.HEADING, None, "360"),
        (Quantity(D("0.2")), ValueKind.HEADING, None, "360"),
        (Quantity(D("5.64"), "t"), ValueKind.MASS, None, "5.6"),
        (Quantity(D("118.4521")), ValueKind.FREQUENCY, None, "118.450"),
    ],
)
def test_rounding(quantity: Quantity, kind: ValueKind, step: Decimal | None, number: str) -> None:
    assert round_as_spoken(quantity, kind, step).number == D(number)
