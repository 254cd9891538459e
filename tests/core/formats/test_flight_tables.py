"""Tables, compared words and demands of a flight file."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.core.formats.flight_schema import flight_from
from callout.core.lint.flight_rules import lint_flight
from callout.core.model.flight import Flight
from callout.core.model.problems import FileProblems
from callout.core.planning.quantities import (
    ValueMissing,
    comparison_holds,
    computed_amount,
    missing_names,
    text_of,
)
from callout.core.planning.resolve import with_inputs
from callout.errors import ChecklistInvalid

TEXT = """
callout: 1
quantities:
  mass: {value: 830 kg, name: take-off mass, from: the loading sheet}
  rotate: {kind: speed, name: rotation speed}
  bug: {value: rotate + 5}
  fuel_left: 41 L
  fuel_right: 36 L
words:
  fuller_tank: {greatest: {left: fuel_left, right: fuel_right}}
  emptier_tank: {least: {left: fuel_left, right: fuel_right}}
tables:
  - by: mass
    rows:
      - {mass: 740 kg, rotate: 47 kt}
      - {mass: 800 kg, rotate: 49 kt}
      - {mass: 860 kg, rotate: 51 kt}
must: rotate > 45
"""
TABLES = default_tables()


def flight(text: str = TEXT) -> Flight:
    return flight_from(parse_yaml(text, "flight.yaml"), "flight.yaml")


def found(text: str) -> list[str]:
    return [finding.rule for finding in lint_flight(flight(text), TABLES)]


def test_a_quantity_is_looked_up_between_two_rows() -> None:
    assert computed_amount("rotate", flight(), TABLES) == (Decimal(50), "kt")
    assert computed_amount("bug", flight(), TABLES) == (Decimal(55), "kt")


def test_a_mass_in_another_unit_is_converted() -> None:
    pounds = flight(TEXT.replace("830 kg", "1764 lb"))
    assert round(computed_amount("rotate", pounds, TABLES)[0]) == 49


@given(st.decimals(740, 860, places=1), st.decimals(740, 860, places=1))
def test_heavier_is_never_slower(one: Decimal, other: Decimal) -> None:
    light, heavy = sorted((one, other))
    speeds = [
        computed_amount("rotate", flight().with_quantity("mass", mass), TABLES)[0]
        for mass in (light, heavy)
    ]
    assert speeds == sorted(speeds)
    assert Decimal(47) <= speeds[0] <= speeds[1] <= Decimal(51)


@pytest.mark.parametrize("mass", [740, 800, 860])
def test_a_row_gives_its_own_number(mass: int) -> None:
    rows = dict(flight().look_ups[0].rows)
    there = flight().with_quantity("mass", Decimal(mass))
    assert computed_amount("rotate", there, TABLES)[0] == rows[Decimal(mass)]["rotate"]


@pytest.mark.parametrize("mass", [739, 861])
def test_outside_the_table_nothing_is_guessed(mass: int) -> None:
    there = flight().with_quantity("mass", Decimal(mass))
    with pytest.raises(ChecklistInvalid, match="740 to 860 kg") as told:
        computed_amount("rotate", there, TABLES)
    assert not isinstance(told.value, ValueMissing)


def test_without_the_mass_the_mass_is_what_is_missing() -> None:
    unknown = flight().with_quantity("mass", None)
    assert missing_names(["rotate", "bug"], unknown) == ("mass",)
    with pytest.raises(ValueMissing, match="take-off mass is not known yet"):
        computed_amount("bug", unknown, TABLES)


def test_a_number_that_is_given_counts_before_the_table() -> None:
    given_one = flight().with_quantity("rotate", Decimal(60), "kt")
    assert computed_amount("rotate", given_one, TABLES) == (Decimal(60), "kt")


@pytest.mark.parametrize(
    ("left", "right", "fuller", "emptier"),
    [(41, 36, "left", "right"), (30, 36, "right", "left"), (36, 36, "left", "right")],
)
def test_a_word_follows_from_quantities(left: int, right: int, fuller: str, emptier: str) -> None:
    now = flight().with_quantity("fuel_left", Decimal(left))
    now = now.with_quantity("fuel_right", Decimal(right))
    assert text_of("fuller_tank", now, TABLES) == fuller
    assert text_of("emptier_tank", now, TABLES) == emptier


def test_a_demand_is_a_comparison() -> None:
    assert comparison_holds("rotate > 45", flight(), TABLES)
    assert not comparison_holds("rotate > 50", flight(), TABLES)
    with pytest.raises(ChecklistInvalid, match="compares nothing"):
        comparison_holds("rotate + 1", flight(), TABLES)


def test_what_agrees_is_quiet() -> None:
    assert found(TEXT) == []
    assert found(TEXT.replace("rotate: {kind", "rotate: {value: 50 kt, kind")) == []


@pytest.mark.parametrize(
    ("change", "to", "rules"),
    [
        ("rotate: {kind", "rotate: {value: 51 kt, kind", ["against-table"]),
        ("rotate: {kind", "rotate: {value: 93 km/h, kind", []),
        ("830 kg", "930 kg", ["outside-table"]),
        ("rotate > 45", "rotate > 55", ["broken-demand"]),
        ("fuller_tank: {greatest: {left: fuel_left, right: fuel_right}}", "fuller_tank: right",
         ["wrong-side"]),
        ("fuller_tank: {greatest: {left: fuel_left, right: fuel_right}}", "fuller_tank: left", []),
    ],
)  # fmt: skip
def test_what_contradicts_is_found(change: str, to: str, rules: list[str]) -> None:
    assert found(TEXT.replace(change, to)) == rules


@pytest.mark.parametrize(
    ("change", "to", "said"),
    [
        ("{mass: 740 kg", "{mass: 900 kg", 'do not rise by "mass"'),
        (", rotate: 49 kt", "", "same columns"),
        ("rotate: 49 kt", "rotate: 49 km/h", "same columns"),
        ("rotate: 47 kt", "rotate: fast", "same columns"),
        ("by: mass", "by: weight", 'rows have no "weight"'),
        ("bug: {value: rotate + 5}", "bug: {value: rotate + wind}", "wind"),
        ("rotate: {kind: speed, name: rotation speed}", "rotate: {value: mass / 17}", "computed"),
        ("right: fuel_right}}\n  emp", "right: fuel_rear}}\n  emp", '"fuel_rear" is compared'),
        ("must: rotate > 45", "must: rotte > 45", '"rotte" is compared'),
    ],
)
def test_what_cannot_be_meant_is_refused(change: str, to: str, said: str) -> None:
    assert change in TEXT
    with pytest.raises(FileProblems) as problems:
        flight(TEXT.replace(change, to))
    assert said in " ".join(problem.message for problem in problems.value.problems)


def test_what_is_looked_up_hangs_on_what_the_table_goes_by() -> None:
    """A change of the mass must reopen the speeds that were read for another one."""
    assert with_inputs(("bug",), flight()) == ("bug", "rotate", "mass")
    given_one = flight().with_quantity("rotate", Decimal(60), "kt")
    assert with_inputs(("bug",), given_one) == ("bug", "rotate")
