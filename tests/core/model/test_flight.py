"""Flight data: quantities with units, facts, words, and what is refused."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from callout.core.formats.flight_schema import flight_from
from callout.core.model.expectation import ValueKind
from callout.core.model.flight import EMPTY_FLIGHT, Flight
from callout.core.model.located import from_plain
from callout.core.model.problems import FileProblems


def flight(**parts: Any) -> Flight:
    return flight_from(from_plain({"callout": 1, **parts}), "flight.yaml")


@pytest.mark.parametrize(
    ("value", "number", "unit", "digits", "decimals"),
    [
        ("1013 hPa", "1013", "hPa", None, None),
        ("29.92 inHg", "29.92", "inHg", None, 2),
        ("005", "5", None, 3, None),
        ("0421", "421", None, 4, None),
        ("-5 degC", "-5", "degC", None, None),
        ("0.5", "0.5", None, None, 1),
        ("118.700 MHz", "118.700", "MHz", None, 3),
        ("75%", "75", "%", None, None),
        ("3 °C", "3", "°C", None, None),
    ],
)
def test_numbers_as_written(
    value: str, number: str, unit: str | None, digits: int | None, decimals: int | None
) -> None:
    read = flight(quantities={"x": value}).quantities["x"]
    assert (read.number, read.unit) == (Decimal(number), unit)
    assert (read.digits, read.decimals) == (digits, decimals)


def test_all_keys_of_a_quantity() -> None:
    read = flight(
        quantities={
            "qnh": {
                "value": 1013,
                "unit": "hPa",
                "kind": "pressure",
                "digits": 4,
                "decimals": 0,
                "tolerance": 0.5,
                "say_unit": True,
                "or_units": ["inHg"],
                "name": "altimeter setting",
                "from": "the tower",
            }
        }
    ).quantities["qnh"]
    assert (read.name, read.kind, read.unit_required) == ("qnh", ValueKind.PRESSURE, True)
    assert (read.tolerance, read.other_units) == (Decimal("0.5"), ("inHg",))
    assert (read.spoken_name, read.source) == ("altimeter setting", "the tower")


def test_facts_are_yes_no_or_unknown() -> None:
    read = flight(facts={"night": True, "icing": "no", "ferry": {"is": "unknown", "ask": "Ferry?"}})
    assert read.facts == {"night": True, "icing": False, "ferry": None}
    assert read.set_up["ferry"].question == "Ferry?"


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ({"quantities": {"a": "b + 1"}}, 'computed from "b"'),
        ({"quantities": {"a": "a + 1"}}, "computed from itself"),
        ({"quantities": {"a": "b + 1", "b": "a * 2"}}, "computed from itself"),
        ({"quantities": {"a": {"value": "5 kg", "unit": "lb"}}}, "given in"),
        ({"quantities": {"a": "5 kg + b"}}, "cannot be worked out"),
        ({"quantities": {"a": "b if c else d"}}, 'computed from "'),
        ({"quantities": {"a": "lambda: b"}}, "is not a number"),
        ({"quantities": {"a": "b[1]"}}, "is not a number"),
        ({"quantities": {"a": "().__class__"}}, "may only add"),
        ({"quantities": {"Flap": 5}}, "must be small letters"),
        ({"quantities": {"on": 5}}, "must be small letters"),
        ({"quantities": {"a": ""}}, "is empty"),
        ({"quantities": ["a"]}, "one on each line"),
        ({"quantities": {"a": 1}, "words": {"a": "b"}}, "both a quantity and a word"),
        ({"facts": {"night": "perhaps"}}, "yes, no or unknown"),
        ({"fact": {}}, "is not a key"),
    ],
)
def test_defects(parts: dict[str, Any], says: str) -> None:
    with pytest.raises(FileProblems) as caught:
        flight(**parts)
    assert says in caught.value.message
    assert caught.value.hint


def test_a_changed_flight_is_a_new_one() -> None:
    before = flight(quantities={"qnh": {"value": "1013 hPa", "digits": 4}}, facts={"night": False})
    after = before.with_fact("night", True).with_quantity("qnh", Decimal(998))
    assert before.facts == {"night": False}
    assert after.facts == {"night": True}
    assert (after.quantities["qnh"].number, after.quantities["qnh"].unit) == (Decimal(998), "hPa")
    assert after.quantities["qnh"].digits == 4
    assert EMPTY_FLIGHT.with_quantity("v", Decimal(1), "kt").quantities["v"].unit == "kt"
