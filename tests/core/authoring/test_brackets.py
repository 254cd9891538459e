"""Words in brackets behind a challenge: when it applies, or part of its name."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.asking import answer_question, questions_of
from callout.core.authoring.guesses import Doubt, Guess, Reading
from callout.core.authoring.texts import read_list_text

RIVALS = known_rivals()


def _read(*lines: str) -> Reading:
    return read_list_text("# Before landing\n" + "\n".join(lines) + "\n", RIVALS)


def _only(line: str) -> Guess:
    (guess,) = _read(line).guesses
    return guess


def test_one_challenge_with_unlike_brackets_applies_now_and_then() -> None:
    up, down = _read("Wheels (lake) .... UP", "Wheels (hard shore) .... DOWN").guesses
    assert (up.item.challenge, up.item.when) == ("Wheels", "lake")
    assert (down.item.challenge, down.item.when) == ("Wheels", "hard_shore")
    assert up.doubts == down.doubts == (Doubt.WHEN,)


def test_what_surely_is_a_condition_is_not_asked_about() -> None:
    assert _only("Landing light (night) .... ON").doubts == ()


@pytest.mark.parametrize(
    "name",
    [
        "Oil (each engine)", "Fuel (kg)", "Tyre (left)", "Beacon (APU)", "Pins (removed)",
        "Fuel (2 tanks)", "Ballast (usable)",
    ],
)  # fmt: skip
def test_what_tells_a_thing_from_others_stays_in_its_name(name: str) -> None:
    guess = _only(f"{name} .... CHECKED")
    assert guess.item.when == ""
    assert guess.item.challenge == name


def test_no_before_a_word_is_a_condition_too() -> None:
    assert _only("Gear (no power) .... HAND PUMP").item.when == "no_power"


def test_brackets_that_hold_the_response_are_no_condition() -> None:
    assert _read("Hatch (shut tight)", "Brakes .... SET").guesses[-1].item.when == ""


def test_the_person_says_that_it_is_part_of_the_name() -> None:
    reading = _read("Hook (belly) .... CHECKED")
    (question,) = questions_of(reading.guesses[0])
    assert question.choices == ("when", "name")
    (named,) = answer_question(reading, 0, Doubt.WHEN, "name", RIVALS).guesses
    assert (named.item.challenge, named.item.when) == ("Hook (belly)", "")
    assert named.facts == named.doubts == ()
    (kept,) = answer_question(reading, 0, Doubt.WHEN, "", RIVALS).guesses
    assert (kept.item.challenge, kept.item.when) == ("Hook", "belly")
