"""From items and flight data to expectations, checked against published figures."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from callout.app.shared.tables import default_tables
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import Checklist
from callout.core.model.expectation import Answer, Value, ValueKind, Words
from callout.core.model.flight import EMPTY_FLIGHT, Flight
from callout.core.model.located import from_plain
from callout.core.planning.quantities import ValueMissing
from callout.core.planning.resolve import answer_for, expectation_for, missing_quantities
from callout.errors import ChecklistInvalid

TABLES = default_tables()


def checklist(*items: dict[str, Any], **more: Any) -> Checklist:
    head = {
        "callout": 1,
        "id": "x",
        "title": "X",
        "phase": "taxi",
        "method": "read-and-do",
        "complete": "x complete",
    }
    return checklist_from(from_plain({**head, "items": list(items), **more}), "x.yaml")


def flight(**quantities: Any) -> Flight:
    return flight_from(from_plain({"callout": 1, "quantities": quantities}), "flight.yaml")


def item(response: Any, name: str = "a", **more: Any) -> dict[str, Any]:
    return {"id": name, "challenge": name.title(), "response": response, **more}


def answer(response: Any, on: Flight = EMPTY_FLIGHT) -> Answer:
    lone = checklist(item(response)).items[0]
    return answer_for(lone.responses[0], lone, on, TABLES)


def value(response: Any, on: Flight = EMPTY_FLIGHT) -> Value:
    values = [part for part in answer(response, on).parts if isinstance(part, Value)]
    assert len(values) == 1
    return values[0]


# Exact definitions: 1 lb = 0.45359237 kg, 1 US gal = 3.785411784 L, 1 ft = 0.3048 m (NIST SP 811).
# 1 inHg = 33.8639 hPa; avgas 6.0 lb per US gal is the planning value (FAA-H-8083-25).
@pytest.mark.parametrize(
    ("given", "unit", "number"),
    [
        ("29.92 inHg", "hPa", "1013"),
        ("1013.25 hPa", "inHg", "29.92"),
        ("980 hPa", "inHg", "28.94"),
        ("30.01 inHg", "hPa", "1016"),
        ("40 gal", "L", "151"),
        ("25 gal", "L", "95"),
        ("100 L", "gal", "26"),
        ("240 lb", "kg", "109"),
        ("1000 kg", "lb", "2205"),
        ("10000 ft", "m", "3048"),
        ("15 degC", "degF", "59"),
    ],
)
def test_conversion(given: str, unit: str, number: str) -> None:
    read = value({"value": "x", "unit": unit}, flight(x=given))
    assert (read.number, read.unit) == (Decimal(number), unit)


# 30 gal of avgas weigh 180 lb, 40 gal 108.86 kg, 56 gal 336 lb = 152.41 kg (same sources).
@pytest.mark.parametrize(
    ("fuel", "expression", "unit", "number"),
    [
        ("30 gal", "fuel * density", "lb", "180"),
        ("40 gal", "fuel * density", "kg", "109"),
        ("56 gal", "fuel * density", "lb", "336"),
        ("56 gal", "fuel * density", "kg", "152"),
        ("30 gal", "fuel * density + 20", "lb", "200"),
    ],
)
def test_computed_weights(fuel: str, expression: str, unit: str, number: str) -> None:
    data = flight(fuel=fuel, density="6.0 lb/gal")
    read = value({"value": expression, "unit": unit, "kind": "mass"}, data)
    assert (read.number, read.unit) == (Decimal(number), unit)


def test_quantities_computed_from_others() -> None:
    data = flight(left="40 L", right="45 litres", total="left + right", twice="total * 2")
    assert value("{twice}", data).number == 170
    assert answer("{left} left, {right} right, {total} in all", data).text == (
        "40 L left, 45 L right, 85 L in all"
    )


def test_words_and_values_keep_their_order() -> None:
    parts = answer("{left} left, {right} right", flight(left="40 L", right="45 L")).parts
    assert [p.number if isinstance(p, Value) else p.text.strip(", ") for p in parts] == [
        40,
        "left",
        45,
        "right",
    ]


def test_how_a_quantity_is_spoken_goes_with_it() -> None:
    data = flight(
        hdg={"value": "5", "kind": "heading", "tolerance": 2, "name": "runway heading"},
        code={"value": "0421", "kind": "transponder"},
        com="118.700 MHz",
        temperature="-5 degC",
    )
    heading = value("heading {hdg}", data)
    assert (heading.digits, heading.tolerance) == (3, 2)
    assert (heading.kind, heading.name) == (ValueKind.HEADING, "runway heading")
    assert answer("{hdg}", data).text == "005"
    assert (value("{code}", data).digits, answer("{code}", data).text) == (4, "0421")
    assert answer("{com}", data).text == "118.700 MHz"
    assert value("{com}", data).kind is ValueKind.FREQUENCY
    assert value("{temperature}", data).number == -5


def test_an_item_overrides_the_quantity() -> None:
    data = flight(qnh={"value": "1013 hPa", "tolerance": 2, "say_unit": False})
    asked = {"value": "qnh", "tolerance": 0, "say_unit": True, "or_units": "inHg", "name": "QFE"}
    read = value(asked, data)
    assert (read.tolerance, read.unit_required) == (0, True)
    assert (read.other_units, read.name) == (("inHg",), "QFE")


def test_a_tolerance_is_converted_with_its_value() -> None:
    data = flight(fuel={"value": "100 gal", "tolerance": 10})
    assert value({"value": "fuel", "unit": "L"}, data).tolerance == Decimal("37.85411784")
    data = flight(oat={"value": "15 degC", "tolerance": 5})
    assert value({"value": "oat", "unit": "degF"}, data).tolerance == Decimal(9)


def test_a_unit_written_after_the_braces_is_the_unit() -> None:
    read = answer("{fuel} litres", flight(fuel="40 L"))
    assert (read.text, len(read.parts)) == ("40 litres", 1)
    bare = value("{flap} degrees", flight(flap=10))
    assert (bare.number, bare.unit) == (10, "deg")
    with pytest.raises(ChecklistInvalid, match="gal is written after a value in L"):
        answer("{fuel} gallons", flight(fuel="40 L"))


def test_numbers_written_in_the_list() -> None:
    read = value({"text": "flaps 10", "tolerance": 1, "name": "flap"})
    assert (read.number, read.tolerance, read.name) == (10, 1, "flap")
    assert value({"value": "005", "kind": "heading"}).digits == 3
    assert value({"value": "1013 hPa"}).kind is ValueKind.PRESSURE
    assert value({"value": "1800", "unit": "rpm", "tolerance": 50}).unit == "rpm"


def test_words_of_the_flight() -> None:
    data = flight_from(from_plain({"callout": 1, "words": {"runway": "24 left"}}), "f.yaml")
    read = answer("runway {runway}", data)
    assert read.text == "runway 24 left"
    assert [part for part in read.parts if isinstance(part, Words)][-1].text == "left"


@pytest.mark.parametrize(
    ("response", "data", "says"),
    [
        ("{qnh}", {}, 'no quantity "qnh"'),
        ("{qnh}", {"qnh": {"name": "altimeter setting", "from": "the tower"}}, "from the tower"),
        ("{a + b}", {"a": 1}, 'no quantity "b"'),
        ("{c}", {"a": {"unit": "kg"}, "c": "a * 2"}, "the a is not known yet"),
    ],
)
def test_missing_values(response: str, data: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueMissing) as caught:
        answer(response, flight(**data))
    assert says in caught.value.message
    assert caught.value.hint


@pytest.mark.parametrize(
    ("response", "data", "says"),
    [
        ("{a + b}", {"a": "1 kg", "b": "1 ft"}, "cannot be added"),
        ("{a / b}", {"a": "1 kg", "b": "0 kg"}, "divides by zero"),
        ("{a}", {"a": "1 furlong"}, '"furlong" is not a unit'),
        ({"value": "a", "unit": "ft"}, {"a": "1 kg"}, "kg cannot be converted to ft"),
        ({"value": "7 parsec"}, {}, '"parsec" is not a unit'),
        ("flap{a}", {"a": 10}, "cannot be told apart"),
        ("{a}{a}", {"a": 10}, "cannot be"),
        ("1{a}", {"a": 10}, "cannot be"),
        ("{a}.5", {"a": 10}, "cannot be"),
    ],
)
def test_unusable_values_name_the_item_and_line(
    response: Any, data: dict[str, Any], says: str
) -> None:
    with pytest.raises(ChecklistInvalid) as caught:
        answer(response, flight(**data))
    assert not isinstance(caught.value, ValueMissing)
    assert caught.value.message.startswith("x.yaml, line 1: a: ")
    assert says in caught.value.message
    assert caught.value.hint


def test_missing_quantities_in_order() -> None:
    lone = checklist(item("{c} and {a}", needs=["v1", "a"])).items[0]
    assert missing_quantities(lone, flight(c="d * 2", d={"unit": "kg"})) == ("v1", "a", "d")
    assert missing_quantities(lone, flight(c=1, a=2, v1=3)) == ()


def test_an_expectation_is_complete() -> None:
    whole = checklist(
        item("on", "before"),
        item(
            ["set", "{qnh}"],
            "middle",
            say="altimeters",
            wrong=[{"text": "standard", "because": "Too early."}],
            critical=True,
            as_required=True,
        ),
        item("closed", "after"),
        contrasts=[["ferry", "passenger"]],
        synonyms={"lamp": "light"},
    )
    read = expectation_for(whole, whole.item("middle"), flight(qnh="1013 hPa"), TABLES)
    assert [a.text for a in read.accepted] == ["set", "1013 hPa"]
    assert [(w.answer.text, w.because) for w in read.wrong] == [("standard", "Too early.")]
    assert ([a.text for a in read.previous], [a.text for a in read.following]) == (
        ["on"],
        ["closed"],
    )
    assert (read.challenge, read.actual_status, read.as_required_with_status) == (
        "altimeters",
        True,
        True,
    )
    assert (read.contrasts, dict(read.synonyms)) == ((("ferry", "passenger"),), {"lamp": "light"})


def test_neighbours_are_those_that_apply() -> None:
    whole = checklist(
        item("one", "first"),
        item("two", "dropped", when="night"),
        item("three", "middle"),
        item("four", "unknown", when="icing"),
        item("five", "last"),
    )
    day = EMPTY_FLIGHT.with_fact("night", False)
    read = expectation_for(whole, whole.item("middle"), day, TABLES)
    assert [a.text for a in read.previous] == ["one"]
    assert [a.text for a in read.following] == ["four"], "an unknown condition may still apply"
    first = expectation_for(whole, whole.item("first"), day, TABLES)
    assert first.previous == ()


def test_a_neighbour_without_its_value_is_left_out() -> None:
    whole = checklist(item("{v1}", "first"), item("on", "second"))
    assert expectation_for(whole, whole.item("second"), EMPTY_FLIGHT, TABLES).previous == ()


def test_a_wrong_reply_that_is_right_today_is_left_out() -> None:
    whole = checklist(item("flaps {takeoff}", wrong=["flaps {landing}", "flaps {nothing}", "up"]))
    same = flight(takeoff=10, landing=10)
    other = flight(takeoff=10, landing=25)
    lone = whole.items[0]
    assert [w.answer.text for w in expectation_for(whole, lone, same, TABLES).wrong] == ["up"]
    wrong = [w.answer.text for w in expectation_for(whole, lone, other, TABLES).wrong]
    assert wrong == ["flaps 25", "up"]


def test_an_overlay_limit_is_never_exceeded() -> None:
    from dataclasses import replace

    lone = checklist(item("{x}")).items[0]
    limited = replace(lone.responses[0], tolerance_limit=Decimal(1))
    loose = flight(x={"value": 10, "tolerance": 5})
    part = answer_for(limited, lone, loose, TABLES).parts[0]
    assert isinstance(part, Value)
    assert part.tolerance == 1
