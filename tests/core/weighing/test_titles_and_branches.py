"""Titles in parts, lines that lead elsewhere, and remarks in which a mark divides nothing."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.guesses import Reading
from callout.core.authoring.reading import read_rows
from callout.core.paper.page import Page, Word
from callout.core.weighing.choosing import best_rows
from tests.core.authoring.test_pages import pairs_of, words

RIVALS = known_rivals()
ITEMS = (
    ("Fuel selector", "RIGHT"),
    ("Carburettor heat", "COLD"),
    ("Primer", "LOCKED"),
    ("Beacon", "ON"),
)


def _read(found: list[Word]) -> Reading:
    page = Page(1, 500.0, 700.0, tuple(found))
    return read_rows(best_rows([page], RIVALS), RIVALS)


def _items(top: float = 80.0) -> list[Word]:
    found: list[Word] = []
    for at, (name, said) in enumerate(ITEMS):
        found += words(name, 40, top + 20 * at) + words("......", 200, top + 20 * at)
        found += words(said, 300, top + 20 * at)
    return found


@pytest.mark.parametrize(
    ("left", "right", "size"),
    [
        ("SMOKE IN THE CABIN", "3-12", 16),
        ("ENGINE FIRE", "7.2", 16),
        ("HERONRY 12", "normal checklist, before take-off", 10),
        ("Checklist", "Whinchat two-seater", 10),
        ("WHIMBREL", "check list for the water", 10),
    ],
)
def test_a_title_in_two_parts_is_no_item(left: str, right: str, size: float) -> None:
    reading = _read(words(left, 40, 20, size) + words(right, 340, 20, size) + _items())
    assert [name for name, _ in pairs_of(reading)] == [name for name, _ in ITEMS]


def test_a_range_beside_letters_of_the_usual_size_stays_an_item() -> None:
    reading = _read(words("Flap", 40, 20) + words("2-4", 300, 20) + _items(40))
    assert pairs_of(reading)[0] == ("Flap", ("2-4",))


def test_a_first_item_with_a_value_stays_an_item_though_it_names_a_checklist() -> None:
    reading = _read(words("Checklist page", 40, 20) + words("____", 300, 20) + _items(40))
    assert reading.guesses[0].item.challenge == "Checklist page"
    assert reading.guesses[0].blanks


@pytest.mark.parametrize(
    ("left", "right"),
    [
        ("Fire still burning? YES", "go to step 9"),
        ("Light out? NO", "\u25b6 continue with item 14"),
        ("Engine running? Yes", "return to page 2"),
    ],
)
def test_a_question_that_leads_elsewhere_is_shown_and_is_no_item(left: str, right: str) -> None:
    found = _items(40) + words(left, 40, 130) + words(right, 300, 130)
    reading = _read(found)
    assert [name for name, _ in pairs_of(reading)] == [name for name, _ in ITEMS]
    assert left.split()[0] in reading.guesses[-1].item.note


@pytest.mark.parametrize(
    "said",
    [
        "Horn on, or ears hurt. Aim: breathe first, then look",
        "Fuel cut at 40 %. No light after 15 s: crank it",
    ],
)
def test_a_mark_within_two_sentences_divides_no_item(said: str) -> None:
    reading = _read(_items(40) + words(said, 40, 130))
    assert [name for name, _ in pairs_of(reading)] == [name for name, _ in ITEMS]
    assert "".join(said.split())[:12] in "".join(reading.guesses[-1].item.note.split())


def test_a_sentence_with_room_for_a_value_stays_an_item() -> None:
    reading = _read(_items(40) + words("Lean it. Note fuel flow: ____ l/h", 40, 130))
    assert len(reading.guesses) == len(ITEMS) + 1


def test_an_abbreviation_with_a_stop_stays_a_challenge() -> None:
    reading = _read(_items(40) + words("Emerg. Lights: armed", 40, 130))
    assert pairs_of(reading)[-1] == ("Emerg. Lights", ("armed",))
