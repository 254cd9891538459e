"""Sides before two blanks, dashes between two states, brackets around a line."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.responses import understand_response
from callout.core.authoring.texts import read_list_text
from tests.core.authoring.test_pages import pairs_of, read_page, words

RIVALS = known_rivals()


@pytest.mark.parametrize(
    ("line", "challenge"),
    [
        ("Oil added L ____ qt R ____ qt", "Oil added"),
        ("Fuel uplift LEFT ____ RIGHT ____", "Fuel uplift"),
        ("Hydraulic level LH ____ RH ____", "Hydraulic level"),
    ],
)
def test_the_side_before_the_first_of_two_blanks_is_no_part_of_the_name(
    line: str, challenge: str
) -> None:
    (guess,) = read_list_text(f"# Turnaround\n{line}\n", RIVALS).guesses
    assert guess.item.challenge == challenge
    assert len(guess.blanks) == 2


def test_a_side_that_names_one_thing_stays_in_its_name() -> None:
    (guess,) = read_list_text("# Turnaround\nTank L ____ qt\n", RIVALS).guesses
    assert guess.item.challenge == "Tank L"


@pytest.mark.parametrize("dash", ["-", "\u2013"])
def test_a_dash_between_two_states_joins_them_in_order(dash: str) -> None:
    assert understand_response(f"reset {dash} on", "X", RIVALS).replies == ("reset, on",)


@pytest.mark.parametrize(
    ("written", "reply"),
    [
        ("CHECK (DROP ____ )", "check (drop {x})"),
        ("____ KG (MIN ____ KG)", "{x_1} (MIN {x_2})"),
    ],
)
def test_a_value_in_brackets_stays_in_them(written: str, reply: str) -> None:
    assert understand_response(written, "X", RIVALS).replies == (reply,)


def test_a_line_in_brackets_is_a_remark() -> None:
    found = words("SHUTDOWN", 40, 20, 16)
    for at, (name, said) in enumerate(
        (("Throttle", "IDLE"), ("Mixture", "CUT"), ("Doors", "OPEN"))
    ):
        found += words(name, 40, 60 + 30 * at) + words("......", 200, 60 + 30 * at)
        found += words(said, 300, 60 + 30 * at)
    reading = read_page([*found, *words("(turbo: 2 min cooling)", 50, 75)])
    assert [name for name, _ in pairs_of(reading)] == ["Throttle", "Mixture", "Doors"]
    assert "2 min cooling" in reading.guesses[0].item.note
