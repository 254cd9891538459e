"""A column whose items are counted, where another column holds the rest of the count."""

from __future__ import annotations

import pytest

from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.paper.page import Page
from tests.core.authoring.test_pages import words

NAMES = ("RPM", "Oil pressure", "Ammeter", "Carb heat", "Suction", "Flaps", "Trim")
SAID = ("1000", "NORMAL", "CHARGING", "COLD", "NORMAL", "UP", "SET")


def _challenges(numbers: tuple[int, ...]) -> list[str]:
    found = words("AFTER START", 40, 10, 16)
    for at, (number, name, said) in enumerate(zip(numbers, NAMES, SAID, strict=True)):
        found += words(f"{number} {name}" if number else name, 40, 50 + 20 * at)
        found += words(said, 250, 50 + 20 * at)
    guesses = read_rows(page_rows(Page(1, 600, 800, tuple(found))), {}).guesses
    return [guess.item.challenge for guess in guesses]


@pytest.mark.parametrize("numbers", [(7, 8, 9, 13, 14, 15, 16), (4, 5, 6, 7, 8, 9, 10)])
def test_a_count_that_goes_on_is_no_part_of_the_items(numbers: tuple[int, ...]) -> None:
    assert _challenges(numbers) == list(NAMES)


@pytest.mark.parametrize("numbers", [(2, 0, 0, 1, 2, 0, 2), (2, 1, 2, 4, 2, 1, 2)])
def test_numbers_of_things_stay(numbers: tuple[int, ...]) -> None:
    """ "2 Generators" says how many; numbers that do not rise count nothing."""
    told = _challenges(numbers)
    assert sum(name[:1].isdigit() for name in told) == sum(map(bool, numbers))
