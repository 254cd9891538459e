"""Written answers become words and values."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.app.shared.tables import default_tables
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.tables import Tables
from callout.core.model.expectation import Value, ValueKind, Words

K = ValueKind


@pytest.mark.parametrize(
    ("text", "number", "unit", "kind", "digits"),
    [
        ("1013 hPa", "1013", "hPa", K.PRESSURE, None),
        ("1013hpa", "1013", "hPa", K.PRESSURE, None),
        ("1013 mb", "1013", "hPa", K.PRESSURE, None),
        ("QNH 1013", "1013", "hPa", K.PRESSURE, None),
        ("29.92 inHg", "29.92", "inHg", K.PRESSURE, None),
        ("29.92", "29.92", "inHg", K.PRESSURE, None),
        ("2992 inHg", "29.92", "inHg", K.PRESSURE, None),
        ("heading 005", "5", None, K.HEADING, 3),
        ("HDG 090", "90", None, K.HEADING, 3),
        ("FL190", "190", None, K.FLIGHT_LEVEL, None),
        ("FL 75", "75", None, K.FLIGHT_LEVEL, None),
        ("118.450", "118.450", None, K.FREQUENCY, None),
        ("squawk 0421", "421", None, K.TRANSPONDER, 4),
        ("125 kt", "125", "kt", K.SPEED, None),
        ("Mach 0.78", "0.78", "mach", K.SPEED, None),
        ("M.78", "0.78", "mach", K.SPEED, None),
        ("10,000 ft", "10000", "ft", K.ALTITUDE, None),
        ("5600 kg", "5600", "kg", K.MASS, None),
        ("5.6 t", "5.6", "t", K.MASS, None),
        ("90%", "90", "percent", K.PERCENT, None),
        ("-5 °C", "-5", "degC", K.TEMPERATURE, None),
        ("\u22125 C", "-5", "degC", K.TEMPERATURE, None),
        ("09:20", "920", None, K.TIME, 4),
        ("005", "5", None, K.NUMBER, 3),
        ("30 US gallons", "30", "gal", K.VOLUME, None),
        ("one zero one three hectopascals", "1013", "hPa", K.PRESSURE, None),
        ("flight level one niner zero", "190", None, K.FLIGHT_LEVEL, None),
        ("minus five", "-5", None, K.NUMBER, None),
    ],
)
def test_one_value(
    text: str, number: str, unit: str | None, kind: ValueKind, digits: int | None, tables: Tables
) -> None:
    answer = parse_answer(text, tables)
    values = [p for p in answer.parts if isinstance(p, Value)]
    assert answer.text == text
    assert [(v.number, v.unit, v.kind, v.digits) for v in values] == [
        (Decimal(number), unit, kind, digits)
    ]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("on", ["on"]),
        ("both on", ["both on"]),
        ("12 left, 14 right", [12, "left,", 14, "right"]),
        ("27L", [27, "left"]),
        ("V1 125 kt", ["V1", 125]),
        ("flaps five", ["flaps", 5]),
        ("down, 3 greens", ["down,", 3, "greens"]),
        ("information A", ["information alfa"]),
    ],
)
def test_parts_in_order(text: str, parts: list[object], tables: Tables) -> None:
    found = parse_answer(text, tables).parts
    assert [p.text if isinstance(p, Words) else int(p.number) for p in found] == parts


@given(st.text(max_size=80))
def test_any_text_becomes_an_answer(text: str) -> None:
    answer = parse_answer(text, default_tables())
    assert answer.text == text
    assert answer.parts
