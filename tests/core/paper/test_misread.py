"""Units and circles that a picture shows as letters which look the same."""

from __future__ import annotations

import pytest

from callout.core.paper.misread import with_circles, with_units
from callout.core.paper.page import Box, Word


def line(*texts: str, sure: float = 0.97) -> list[Word]:
    return [
        Word(text, Box(40.0 * at, 10, 40.0 * at + 30, 20), sure) for at, text in enumerate(texts)
    ]


@pytest.mark.parametrize(
    ("seen", "meant"),
    [
        (("Fuel", "____", "Ib"), ["Fuel", "____", "lb"]),
        (("Course", "____", "o"), ["Course", "____", "\u00b0"]),
        (("Course", "____", "\u3002"), ["Course", "____", "\u00b0"]),
        (("below", "210", "C"), ["below", "210", "\u00b0C"]),
        (("below", "150\u00b0C"), ["below", "150 \u00b0C"]),
        (("Runway", "27", "C"), ["Runway", "27", "C"]),
        (("Ib", "o"), ["Ib", "o"]),
        (("Bags", "......", "Ib"), ["Bags", "......", "lb"]),
        (("Fuel", "MIN", "40", "1"), ["Fuel", "MIN", "40", "l"]),
        (("Wind", "____", "\u00b01", "____", "kt"), ["Wind", "____", "\u00b0 /", "____", "kt"]),
        (("Speed", "V2", "____", "+10"), ["Speed", "V2", "____", "+ 10"]),
        (("Trim", "+10"), ["Trim", "+10"]),
        (("Step", "40", "1"), ["Step", "40", "1"]),
        (("FIO", "Beacon"), ["F/O", "Beacon"]),
    ],
)
def test_a_unit_is_known_by_the_value_before_it(seen: tuple[str, ...], meant: list[str]) -> None:
    assert [word.text for word in with_units([line(*seen)])] == meant


def test_a_unit_at_the_end_of_a_column_is_known_too() -> None:
    beside = [
        Word("Belts", Box(300.0, 10, 340, 20), 0.97),
        Word("on", Box(345.0, 10, 360, 20), 0.9),
    ]
    found = with_units([[*line("Fuel", "MIN", "40", "1"), *beside]])
    assert [word.text for word in found] == ["Fuel", "MIN", "40", "l", "Belts", "on"]


def test_letters_of_a_pdf_are_kept_as_they_are() -> None:
    seen = line("Fuel", "____", "Ib", sure=1.0)
    assert list(with_units([seen])) == seen


ITEMS = ("Cabin", "Gear", "Flaps", "Beacon", "Strobes")


def starts(mark: str, count: int, sure: float = 0.97) -> list[str]:
    marks = [mark] * count + ["The"] * (len(ITEMS) - count)
    lines = [line(m, item, "set", sure=sure) for m, item in zip(marks, ITEMS, strict=True)]
    return [words[0].text for words in with_circles(lines)]


@pytest.mark.parametrize("mark", ["O", "o", "0", "\u25cb"])
def test_a_circle_before_many_items_is_a_box_to_tick(mark: str) -> None:
    assert starts(mark, 5) == ["\u25a1"] * 5
    assert starts(mark, 4) == ["\u25a1"] * 4 + ["The"]


def test_a_letter_before_a_few_is_a_word() -> None:
    assert starts("O", 3) == ["O"] * 3 + ["The"] * 2
    assert starts("A", 5) == ["A"] * 5
    assert starts("O", 5, sure=1.0) == ["O"] * 5


def test_a_lone_letter_elsewhere_is_kept() -> None:
    lines = [line("O", item) for item in ITEMS]
    away = [Word("O", Box(300, 10, 310, 20), 0.9), Word("Fuel", Box(320, 10, 360, 20), 0.9)]
    assert [words[0].text for words in with_circles([*lines, away])] == ["\u25a1"] * 5 + ["O"]
    assert with_circles([line("O")] * 5) == [line("O")] * 5


@pytest.mark.parametrize("seen", ["1", "l", "I", "|"])
def test_an_upright_mark_alone_between_two_blanks_is_a_slash(seen: str) -> None:
    read = with_units([line("Vref", "____", seen, "____")])
    assert [word.text for word in read] == ["Vref", "____", "/", "____"]


def test_after_a_blank_for_litres_the_same_mark_is_their_unit() -> None:
    seen = line("Fuel", "____", "l", "____")
    assert list(with_units([seen])) == seen
    printed = line("Vref", "____", "1", "____", sure=1.0)
    assert list(with_units([printed])) == printed
