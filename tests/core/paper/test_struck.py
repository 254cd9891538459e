"""Numbers that are struck out, with the one that counts beside them."""

from __future__ import annotations

from dataclasses import replace

from callout.core.authoring.guesses import Doubt
from callout.core.paper.page import Box
from callout.core.paper.struck import without_struck
from tests.core.authoring.test_pages import read_page, words

THROUGH = Box(199, 65, 211, 65.5)
"""Through the first number, at half its height."""


def test_a_number_that_is_struck_out_gives_way_to_the_one_beside_it() -> None:
    found = words("TRIM", 40, 60) + words("35 4 UNITS", 200, 60) + words("LIGHTS", 40, 80)
    reading = read_page([*found, *words("ON", 200, 80)], (THROUGH,))
    trim, lights = reading.guesses
    assert trim.item.responses == ("4 units",)
    assert Doubt.LETTERS in trim.doubts
    assert not lights.doubts


def test_a_number_that_nothing_replaces_is_kept_and_asked_about() -> None:
    found = words("TRIM", 40, 60) + words("35 UNITS", 200, 60)
    (trim,) = read_page(found, (THROUGH,)).guesses
    assert trim.item.responses == ("35 units",)
    assert Doubt.LETTERS in trim.doubts


def test_lines_under_and_across_words_strike_out_nothing() -> None:
    found = words("35 4 UNITS", 200, 60)
    for stroke in (Box(199, 71, 211, 71.5), Box(100, 65, 400, 65.5), Box(199, 60, 211, 70)):
        assert without_struck(found, (stroke,), 10.0) == found


def test_words_that_are_struck_out_are_kept_for_a_person_to_judge() -> None:
    found = words("OFF ON", 200, 60)
    assert without_struck(found, (Box(199, 65, 216, 65.5),), 10.0) == found


def test_numbers_of_a_picture_are_kept() -> None:
    found = [replace(word, sure=0.97) for word in words("35 4 UNITS", 200, 60)]
    assert without_struck(found, (THROUGH,), 10.0) == found


def test_a_number_that_a_picture_shows_struck_out_gives_way_too() -> None:
    found = [
        replace(word, sure=0.97, struck=word.text == "35") for word in words("35 4 UNITS", 200, 60)
    ]
    assert [word.text for word in without_struck(found, (), 10.0)] == ["4", "UNITS"]
