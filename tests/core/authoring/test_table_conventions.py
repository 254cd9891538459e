"""Conventions of tables and lines as clubs and operators print them. All are common practice."""

from __future__ import annotations

import pytest

from callout.core.authoring.accounting import tokens
from callout.core.authoring.guesses import Doubt, Reading
from callout.core.paper.page import Box, Word
from tests.core.authoring.test_pages import pairs_of, words
from tests.core.authoring.test_side_by_side import read_whole


def _table(*lines: tuple[str, ...], lefts: tuple[int, ...], pitch: int = 20) -> list[Word]:
    """Return the words of a table under a title."""
    found = words("WINTER CARD", 40, 10, 16)
    for at, line in enumerate(lines):
        for left, cell in zip(lefts, line, strict=False):
            found += words(cell, left, 60 + pitch * at) if cell else []
    return found


def _walls(places: tuple[int, ...], count: int) -> tuple[Box, ...]:
    """Return upright rules beside cells, row by row, as browsers draw them."""
    return tuple(Box(x, 55 + 20 * at, x + 1, 75 + 20 * at) for x in places for at in range(count))


def _items(reading: Reading) -> dict[str, tuple[str, ...]]:
    return dict(pairs_of(reading))


ROWS = (("Beacon", "ON"), ("Heater", "OFF"), ("Trim", "SET"), ("Doors", "CLOSED"))


def test_upright_rules_divide_cells_that_stand_close() -> None:
    rows = [(a, b, "see book") for a, b in ROWS]
    found = _table(("Item", "State", "Remarks"), *rows, lefts=(40, 86, 130))
    reading = read_whole(found, _walls((82, 127), 5))
    assert _items(reading) == {a: (b.casefold(),) for a, b in ROWS}
    assert {guess.item.note for guess in reading.guesses} == {"see book"}


def test_marks_under_crew_names_say_who_answers() -> None:
    marks = (("X", ""), ("", "X"), ("X", "X"), ("", "X"))
    rows = [(*row, *mark) for row, mark in zip(ROWS, marks, strict=True)]
    found = _table(("Challenge", "Response", "PF", "PM"), *rows, lefts=(40, 200, 400, 460))
    who = [guess.item.who for guess in read_whole(found).guesses]
    assert who == ["pilot-flying", "pilot-monitoring", "both", "pilot-monitoring"]


def test_a_unit_in_a_column_of_its_own_belongs_to_the_response() -> None:
    rows = (
        ("Oil", "85", "psi"),
        ("Fuel", "____", "lb"),
        ("Battery", "24", "V"),
        ("Trim", "set", ""),
    )
    found = _table(("Item", "Set to", "Unit"), *rows, lefts=(40, 200, 300))
    made = _items(read_whole(found))
    assert made["Oil"] == ("85 psi",)
    assert made["Fuel"] == ("{fuel}",)
    assert made["Trim"] == ("set",)


def test_a_blank_in_a_challenge_is_asked_about_beside_columns_for_a_pencil() -> None:
    rows = (("Hours ____", "ENTERED"), *ROWS)
    found = _table(("Item", "State", "1", "2"), *rows, lefts=(40, 200, 400, 460))
    reading = read_whole(found)
    hours = next(g for g in reading.guesses if g.item.challenge.startswith("Hours"))
    assert Doubt.HOLE in hours.doubts


def test_a_heading_row_can_name_its_list() -> None:
    found = _table(("Before taxi", "Response", "By"), *ROWS, lefts=(40, 200, 400))
    reading = read_whole(found)
    assert {guess.section for guess in reading.guesses} == {"Before taxi"}


def test_a_cell_that_wraps_goes_on_in_its_own_column() -> None:
    found = words("CIRCUIT", 40, 10, 16)
    for at, (a, b) in enumerate((("Item", "Action"), *ROWS)):
        found += words(a, 40, 60 + 30 * at) + words(b, 200, 60 + 30 * at)
        found += words("Why" if not at else "The reason stands", 350, 60 + 30 * at)
    found += words("over there.", 350, 60 + 30 * 2 + 11)
    reading = read_whole(found)
    heater = next(g for g in reading.guesses if g.item.challenge == "Heater")
    assert heater.item.note == "The reason stands over there."
    assert len(reading.guesses) == len(ROWS)


def test_dots_that_lead_to_nothing_are_written_on() -> None:
    found = words("TRIP", 40, 10, 16)
    lines = ("Runway in use ........", "Fuel quantity ........ L", "Slot time ........")
    for at, line in enumerate(lines):
        found += words(line, 40, 60 + 20 * at)
    for at, (a, b) in enumerate(ROWS):
        found += words(a, 40, 130 + 20 * at) + words(b, 200, 130 + 20 * at)
    made = _items(read_whole(found))
    assert [made[name] for name in ("Runway in use", "Fuel quantity", "Slot time")] == [
        ("{runway_in_use}",), ("{fuel_quantity}",), ("{slot_time}",),
    ]  # fmt: skip


@pytest.mark.parametrize("counts", [("a", "b", "c", "d"), ("B", "H", "T", "D")])
def test_letters_that_count_or_remind_are_no_part_of_a_challenge(counts: tuple[str, ...]) -> None:
    rows = [(f"{count} {a}", b) for count, (a, b) in zip(counts, ROWS, strict=True)]
    made = _items(read_whole(_table(*rows, lefts=(40, 200))))
    assert list(made) == [a for a, _ in ROWS]


def test_boxes_in_one_line_are_an_item_each_and_all_words_are_shown() -> None:
    found = _table(
        ("\u25a1 Pitot cover", "\u25a1 Static cover", "\u25a1 Tow bar"), lefts=(40, 180, 320)
    )
    for at, (a, b) in enumerate(ROWS):
        found += words(f"\u25a1 {a}", 40, 120 + 20 * at) + words(b, 200, 120 + 20 * at)
    reading = read_whole(found)
    asked = [g.item.challenge for g in reading.guesses if Doubt.NO_RESPONSE in g.doubts]
    assert asked == ["Pitot cover", "Static cover", "Tow bar"]
    assert len(reading.guesses) == len(ROWS) + 3


def test_what_a_list_is_for_and_speeds_to_look_up_are_shown_and_are_no_items() -> None:
    found = words("ELECTRICAL SMOKE", 40, 10, 16) + words("Condition: smell from the panel", 40, 60)
    for at, (a, b) in enumerate(ROWS):
        found += words(a, 40, 100 + 20 * at) + words(b, 200, 100 + 20 * at)
    for at, speed in enumerate(("Vr 50", "Vx 58", "Vy 68")):
        found += words(speed, 40 + 90 * at, 220)
    reading = read_whole(found)
    assert list(_items(reading)) == [a for a, _ in ROWS]
    told = sum((tokens(out.origin.text) for out in reading.left_out), tokens(""))
    assert {"condition", "smell", "vr", "50", "vx", "58", "vy", "68"} <= set(told)


def test_raised_figures_over_columns_are_read_without_harm() -> None:
    """They look like counts and are not whole numbers to the language."""
    lines = (("ITEM", "RESPONSE", "\u00b9", "\u00b2"), *ROWS)
    assert _items(read_whole(_table(*lines, lefts=(40, 250, 400, 430))))["Trim"] == ("set",)
