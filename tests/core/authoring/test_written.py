"""Values written in beside one another: which name or unit belongs to which."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.guesses import Doubt
from callout.core.authoring.responses import understand_response
from callout.core.authoring.texts import read_list_text
from tests.core.authoring.test_pages import pairs_of, read_page, words

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


def test_values_of_both_sides_set_far_apart_are_one_reply() -> None:
    found = words("TAXI", 40, 10, 16)
    for at, name in enumerate(("Belts", "Doors", "Trim", "Flaps")):
        found += words(name, 40, 70 + 20 * at) + words("SET", 300, 70 + 20 * at)
    for text, left in (("Fuel gauges", 40), ("L", 300), ("____ R", 325), ("____ litres", 375)):
        found += words(text, left, 50)
    assert pairs_of(read_page(found))[0] == (
        "Fuel gauges", ("left {fuel_gauges_left}, right {fuel_gauges_right}",),
    )  # fmt: skip


def test_or_longer_is_no_second_reply() -> None:
    assert understand_response("300 m or longer", "Size", RIVALS).replies == ("300 m or longer",)
    assert understand_response("____ V or more", "Bus", RIVALS).replies == ("{bus} or more",)
    assert understand_response("tow or winch", "Launch", RIVALS).replies == ("tow", "winch")
    assert understand_response("higher or lower", "Level", RIVALS).replies == ("higher", "lower")


def test_a_space_within_a_unit_divides_nothing() -> None:
    found = understand_response("95 km /h or 100 km/h", "Speed", RIVALS)
    assert found.replies == ("95 km/h", "100 km/h")


def test_a_word_that_leads_to_a_value_set_apart_belongs_to_it() -> None:
    found = words("STALL", 40, 10, 16)
    for at, name in enumerate(("Power", "Trim", "Horn", "Stick")):
        found += words(name, 40, 70 + 20 * at) + words("SET", 300, 70 + 20 * at)
    found += words("Buffet", 40, 50) + words("at", 300, 50) + words("____ kt", 340, 50)
    assert pairs_of(read_page(found))[0] == ("Buffet", ("at {buffet}",))


def test_small_words_under_a_whole_reply_are_a_remark() -> None:
    found = words("STOP", 40, 10, 16)
    for at, (name, said) in enumerate((("Ropes", "3 pegs"), ("Fee", "paid"), ("Vents", "shut"))):
        found += words(name, 40, 50 + 26 * at) + words(said, 300 - 5 * len(said), 50 + 26 * at)
    found += words("write in pencil", 240, 88, 8)
    told = read_page(found).guesses[1].item
    assert (told.responses, told.note) == (("paid",), "write in pencil")
