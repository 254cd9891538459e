"""One value of a flight file changes; every comment and every other value stays as written."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.shared.flight_editing import Change, Part, changed_text
from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.core.formats.flight_schema import flight_from
from callout.core.model.expectation import ValueKind
from callout.core.model.flight import Flight, FlightQuantity
from callout.core.planning.typed_value import Typed, typed_text, typed_value
from callout.errors import ChecklistInvalid

FLIGHT = """\
callout: 1
title: "To the coast"   # the usual one
quantities:
  short: 1900 kg # from the sheet
  flow: {kind: speed, value: 65 kt, tolerance: 2}
  last: {kind: speed, value: 70 kt}
  only: {value: 1013 hPa}
  block:
    # a remark
    value: 5 L
    kind: volume
  open: {kind: speed, name: "open, and quoted"}
  worked: {value: short + short}
facts:
  night: no
  cold: {is: unknown, ask: "Is it cold?"}
words:
  runway: north
"""


def read(text: str) -> Flight:
    return flight_from(parse_yaml(text, "flight.yaml"), "flight.yaml")


def change(text: str, part: Part, name: str, to: Typed | bool | str | None) -> str:
    made = changed_text(text, "flight.yaml", "My flight", [Change(part, name, to)])
    assert made is not None
    return made


def typed(words: str, unit: str | None = None) -> Typed:
    return typed_value(words, FlightQuantity("x", unit=unit), default_tables())


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("short", "short: 1900 kg # from", "short: 1850 kg # from"),
        ("flow", "value: 65 kt, tol", "value: 1850 kg, tol"),
        ("block", "value: 5 L\n", "value: 1850 kg\n"),
        ("open", "{kind: speed, name", "{value: 1850 kg, kind: speed, name"),
    ],
)
def test_only_the_value_itself_is_written(name: str, old: str, new: str) -> None:
    made = change(FLIGHT, Part.NUMBERS, name, typed("1850", "kg"))
    assert made == FLIGHT.replace(old, new)


@pytest.mark.parametrize("name", ["short", "flow", "last", "only", "block", "open"])
def test_a_number_taken_away_leaves_what_else_is_said(name: str) -> None:
    before, after = read(FLIGHT), read(change(FLIGHT, Part.NUMBERS, name, None))
    assert after.quantities[name].number is None
    assert after.quantities[name].tolerance == before.quantities[name].tolerance
    assert after.quantities[name].unit == before.quantities[name].unit
    assert {n: q.number for n, q in after.quantities.items() if n != name} == {
        n: q.number for n, q in before.quantities.items() if n != name
    }


def test_what_is_worked_out_stays_worked_out() -> None:
    made = changed_text(FLIGHT, "flight.yaml", "", [Change(Part.NUMBERS, "worked", typed("5 kg"))])
    assert made is None or read(made).quantities["worked"].number == Decimal(5)


def test_a_new_name_is_added_and_a_file_is_made_where_there_is_none() -> None:
    assert (
        read(change(FLIGHT, Part.NUMBERS, "squawk", typed("0421"))).quantities["squawk"].digits == 4
    )
    made = change("", Part.FACTS, "night", True)
    assert read(made).facts == {"night": True}
    assert read(made).title == "My flight"


NAMES = st.sampled_from(["short", "flow", "last", "only", "block", "open"])
NUMBERS = st.decimals(min_value=-999, max_value=99_999, places=2).map(lambda n: f"{n:f}")
WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=30
)


@settings(deadline=None)
@given(NAMES, NUMBERS)
def test_any_number_is_read_again_as_it_was_typed(name: str, words: str) -> None:
    about = FlightQuantity(name, unit=read(FLIGHT).quantities[name].unit)
    given_ = typed_value(words, about, default_tables())
    found = read(change(FLIGHT, Part.NUMBERS, name, given_)).quantities[name]
    assert found.number == Decimal(words)
    assert Decimal(typed_text(found)) == Decimal(words)


@settings(deadline=None)
@given(WORDS)
def test_any_word_is_read_again_as_it_was_typed(words: str) -> None:
    made = changed_text(FLIGHT, "flight.yaml", "", [Change(Part.WORDS, "runway", words)])
    assert made is None or read(made).words["runway"] == words


@pytest.mark.parametrize("aircraft", ["sandling-two", "halvern-seventy", "tarnbeck-one"])
def test_every_given_number_of_the_shipped_flights_can_be_changed(aircraft: str) -> None:
    text = (shipped_folder(CHECKLISTS) / aircraft / "flight.yaml").read_text(encoding="utf-8")
    for name, quantity in read(text).quantities.items():
        if not quantity.expression and quantity.number is not None:
            to = Typed(f"7 {quantity.unit}" if quantity.unit else "7", Decimal(7), quantity.unit)
            lines = zip(
                text.split("\n"), change(text, Part.NUMBERS, name, to).split("\n"), strict=True
            )
            assert sum(one != two for one, two in lines) <= 1


@pytest.mark.parametrize(
    ("words", "kind", "unit", "said"),
    [
        ("29,92", ValueKind.PRESSURE, "inHg", "without a comma"),
        ("90 lb", ValueKind.MASS, "kg", "90 lb is 41 kg"),
        ("90 kt", ValueKind.MASS, "kg", "does not measure"),
        ("1893", ValueKind.TRANSPONDER, None, "0 to 7"),
        ("421", ValueKind.TRANSPONDER, None, "Four digits"),
        ("37", ValueKind.RUNWAY, None, "between 1 and 36"),
        ("361", ValueKind.HEADING, None, "between 0 and 360"),
        ("1200", ValueKind.PRESSURE, "hPa", "between 500 and 1,090"),
        ("-4", ValueKind.MASS, "kg", "between 0"),
        ("four", ValueKind.MASS, "kg", "not a number"),
        ("1e5", None, None, "not a unit"),
        ("9" * 40, None, None, "not a number"),
    ],
)
def test_what_cannot_be_is_said_in_words(
    words: str, kind: ValueKind | None, unit: str | None, said: str
) -> None:
    """Headings, codes and runways: ICAO Doc 9432 and Annexes 10 and 14, from memory."""
    with pytest.raises(ChecklistInvalid) as caught:
        typed_value(words, FlightQuantity("fuel", unit=unit, kind=kind), default_tables())
    assert said in f"{caught.value.message} {caught.value.hint}"


@pytest.mark.parametrize(
    ("words", "unit", "text"),
    [
        ("1850", "kg", "1850 kg"),
        ("1850 KG", "kg", "1850 kg"),
        ("0421", None, "0421"),
        ("+5", None, "5"),
    ],
)
def test_what_is_typed_is_written_with_its_unit(words: str, unit: str | None, text: str) -> None:
    assert typed(words, unit).text == text
