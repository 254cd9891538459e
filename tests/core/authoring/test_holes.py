"""Blanks that the reader of a photograph did not see: they are asked about, never dropped."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.asking import answer_question, questions_of
from callout.core.authoring.guesses import Doubt, Guess, Reading
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.paper.page import Box, Page, Word
from tests.core.authoring.test_pages import words

RIVALS = known_rivals()
PLAIN = (
    ("BRAKES", "SET"),
    ("FLAPS", "UP"),
    ("LIGHTS", "ON"),
    ("TRIM", "NEUTRAL"),
    ("DOORS", "SHUT"),
)


def photographed(found: list[Word]) -> list[Word]:
    return [replace(word, sure=0.97) for word in found]


def read_photo(found: list[Word], faint: tuple[Box, ...] = ()) -> Reading:
    page = Page(1, 600, 800, tuple(found), faint=faint)
    return read_rows(page_rows(page), RIVALS)


def doubted(reading: Reading) -> list[str]:
    return [g.item.challenge for g in reading.guesses if Doubt.HOLE in g.doubts]


def led_line(challenge: str, response: str, top: float, until: float) -> list[Word]:
    """Return a line with a leader that ends at ``until``, and its response at the right edge."""
    left, right = words(challenge, 40, top), words(response, 0, top)
    shift = 500 - right[-1].box.right
    placed = [
        replace(w, box=Box(w.box.left + shift, top, w.box.right + shift, top + 10)) for w in right
    ]
    start = left[-1].box.right + 4
    leader = Word("......", Box(start, top, until or placed[0].box.left - 4, top + 10))
    return [*photographed(left), leader, *photographed(placed)]


def led_card(last: list[Word]) -> list[Word]:
    found = photographed(words("TAXI", 40, 20, 16))
    for at, (challenge, response) in enumerate(PLAIN):
        found += led_line(challenge, response, 60 + 16 * at, 0)
    return found + last


def test_room_between_a_leader_and_its_response_is_asked_about() -> None:
    last = led_line("DEPARTURE FREQUENCY", "ACTIVE", 140, until=430)
    reading = read_photo(led_card(last))
    assert doubted(reading) == ["Departure frequency"]
    assert not doubted(read_photo(led_card(led_line("BEACON", "ACTIVE", 140, until=0))))


def test_a_response_that_ends_early_is_asked_about() -> None:
    whole = led_line("LANDING DATA", "VREF", 140, until=0)
    last = words("VREF", 440, 140)
    early = [*whole[:-2], Word("......", Box(120, 140, 436, 150)), *photographed(last)]
    assert doubted(read_photo(led_card(early))) == ["Landing data"]


def test_a_response_that_begins_late_is_asked_about() -> None:
    found = photographed(words("TAXI", 40, 20, 16))
    for at, (challenge, response) in enumerate((*PLAIN, ("RADIO", "ACTIVE"))):
        top = 60 + 16 * at
        left = 340.0 if challenge == "RADIO" else 300.0
        found += photographed(words(challenge, 40, top) + words(response, left, top))
    assert doubted(read_photo(found)) == ["Radio"]


def test_a_faint_stroke_is_asked_about_and_one_under_words_is_not() -> None:
    found = photographed(words("TAXI", 40, 20, 16))
    for at, (challenge, response) in enumerate((*PLAIN[:3], ("TRANSPONDER", "SET"))):
        found += photographed(
            words(challenge, 40, 60 + 16 * at) + words(response, 300, 60 + 16 * at)
        )
    reading = read_photo(found, (Box(320, 115, 350, 116), Box(300, 71, 330, 72)))
    assert doubted(reading) == ["Transponder"]


def test_a_stroke_that_goes_on_beyond_the_word_it_is_under_is_asked_about() -> None:
    """As where a reply was printed over its challenge."""
    found = words("TAXI", 40, 20, 16) + words("BRAKES", 40, 60) + words("SET", 300, 60)
    found += words("TAKE-OFF SPEEDS", 40, 76) + words("SET", 300, 76)
    page = Page(1, 600, 800, tuple(photographed(found)), (Box(90, 85, 145, 86),))
    assert doubted(read_rows(page_rows(page), RIVALS)) == ["Take-off speeds"]


def test_a_challenge_alone_with_a_faint_stroke_is_an_item() -> None:
    found = photographed(words("TAXI", 40, 20, 16))
    found += photographed(words("BRAKES", 40, 60) + words("SET", 300, 60))
    found += photographed(words("SQUAWK", 40, 76))
    reading = read_photo(found, (Box(300, 84, 330, 85),))
    assert [guess.item.challenge for guess in reading.guesses] == ["Brakes", "Squawk"]
    assert Doubt.NO_RESPONSE in reading.guesses[1].doubts


def test_names_of_values_without_values_are_asked_about() -> None:
    found = photographed(words("TAXI", 40, 20, 16))
    found += photographed(words("SPEEDS", 40, 60) + words("V1 VR", 300, 60))
    assert doubted(read_photo(found)) == ["Speeds"]


def test_the_answer_puts_the_value_where_it_belongs() -> None:
    reading = read_photo(led_card(led_line("DEPARTURE FREQUENCY", "ACTIVE", 140, until=430)))
    at = len(reading.guesses) - 1
    question = next(q for q in questions_of(reading.guesses[at]) if q.doubt is Doubt.HOLE)
    assert question.usual == "active"
    filled = answered(reading, at, "____ active")
    assert filled.item.responses == ("{departure_frequency} active",)
    assert filled.blanks[0].kind == "frequency"
    assert answered(reading, at, "").item.responses == ("active",)


def answered(reading: Reading, at: int, words_said: str) -> Guess:
    return answer_question(reading, at, Doubt.HOLE, words_said, RIVALS).guesses[at]


def test_words_of_a_file_leave_no_room_for_a_blank() -> None:
    """In a PDF every stroke is known, so that room is only room."""
    found = [replace(word, sure=1.0) for word in led_card(led_line("RADIO", "ON", 140, until=430))]
    assert not doubted(read_photo(found))


@pytest.mark.parametrize(
    ("challenge", "reply"),
    [
        ("GENERATOR", "ON, LOAD A"),
        ("ALTERNATOR", "CHARGING, A"),
        ("BATTERY", "CONNECTED, V"),
        ("SLOT", "CHECKED, Z"),
        ("FUEL", "CHECKED, L"),
        ("OIL", "DIP 1"),
        ("ENDURANCE", "NOTED, h"),
        ("HOPPER WATER", "CLOSED, l"),
    ],
)
def test_the_letter_of_a_unit_without_its_number_is_asked_about(challenge: str, reply: str) -> None:
    """A photograph does not always show a thin underscore: the value is never lost in silence."""
    found = words(challenge, 40, 150) + words(reply, 300, 150)
    for at, (name, said) in enumerate(PLAIN):
        found += words(name, 40, 40 + 20 * at) + words(said, 300, 40 + 20 * at)
    assert doubted(read_photo(photographed(found))) == [challenge.capitalize()]


@pytest.mark.parametrize(
    ("challenge", "reply"),
    [
        ("TRANSPONDER", "ON, MODE A"),
        ("ATIS", "INFORMATION T"),
        ("GENERATOR", "ON, LOAD 20 A"),
        ("SPEED", "90 KM/H"),
        ("FLAPS", "T/O"),
        ("FUEL SELECTOR", "L"),
        ("HOLDING POINT", "AT A"),
        ("FUEL PUMP", "ON"),
    ],
)
def test_a_letter_that_is_a_name_is_not_asked_about(challenge: str, reply: str) -> None:
    found = words(challenge, 40, 150) + words(reply, 300, 150)
    for at, (name, said) in enumerate(PLAIN):
        found += words(name, 40, 40 + 20 * at) + words(said, 300, 40 + 20 * at)
    assert not doubted(read_photo(photographed(found)))
