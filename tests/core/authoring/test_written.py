"""Values written in beside one another: which name or unit belongs to which."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.guesses import Doubt
from callout.core.authoring.responses import understand_response
from callout.core.authoring.texts import read_list_text

RIVALS = known_rivals()


@pytest.mark.parametrize(
    ("challenge", "written", "replies"),
    [
        ("Approach data", "VREF ____ VAC ____", ("vref {vref}, VAC {approach_data_2}",)),
        ("Radio", "pri ____ sec ____", ("pri {radio_1}, sec {radio_2}",)),
        ("Supply", "____ V ____ A", ("{supply_1}, {supply_2}",)),
        ("Tanks", "____ R ____", ("left {tanks_left}, right {tanks_right}",)),
        ("Pressure", "____ hPa (____ inHg)", ("{pressure_1} ({pressure_2})",)),
        ("Torque", "CLIMB, ____ % TQ", ("climb, {torque}",)),
        ("Load", "____ A (20 to 25)", ("{load} (20 to 25)",)),
        ("Fuel to go back", "____ 1 + 30 min", ("{fuel_to_go_back} + 30 min",)),
    ],
)
def test_each_value_has_its_own_name_and_unit(
    challenge: str, written: str, replies: tuple[str, ...]
) -> None:
    assert understand_response(written, challenge, RIVALS).replies == replies


@pytest.mark.parametrize("written", ["5 / 10", "10\u00b0/20\u00b0", "1 / 2 / 3"])
def test_bare_numbers_of_a_control_are_alternatives_and_asked_about(written: str) -> None:
    meant = understand_response(written, "Flaps", RIVALS)
    assert len(meant.replies) == written.count("/") + 1
    assert Doubt.SLASH in meant.doubts


def test_equal_numbers_and_frequencies_are_said_in_order() -> None:
    assert understand_response("0 / 0 / 0", "Trims", RIVALS).replies == ("0, 0, 0",)
    assert understand_response("118.1 / 121.5", "Radios", RIVALS).doubts == ()


def test_the_unit_of_a_name_stands_once_behind_a_range() -> None:
    (guess,) = read_list_text("# Warm-up\nOil pressure (psi): 60-90\n", RIVALS).guesses
    assert guess.item.responses == ("60-90 psi",)
