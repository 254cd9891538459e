"""Letters that say which seat answers: before the items, behind them, in a last column."""

from __future__ import annotations

import pytest

from callout.core.authoring.guesses import Reading
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.paper.page import Page, Word
from tests.core.authoring.test_pages import words

ITEMS = (
    ("Gear", "UP", "R"), ("Flaps", "0", "R"), ("Power", "CLIMB, ____ %", "L"),
    ("Altimeters", "STD, COMPARED", "L+R"), ("Lights", "OFF", "R"), ("Bleeds", "NORM", "L"),
)  # fmt: skip


def _read(items: tuple[tuple[str, str, str], ...]) -> Reading:
    found = words("CLIMB", 40, 10, 16)
    for at, (name, said, seat) in enumerate(items):
        found += words(name, 40, 50 + 20 * at) + words(said, 250, 50 + 20 * at)
        found += words(seat, 420, 50 + 20 * at) if seat else []
    return read_rows(page_rows(Page(1, 600, 800, tuple(found))), {})


def test_letters_after_the_responses_say_who_answers() -> None:
    told = {g.item.challenge: g.item.who for g in _read(ITEMS).guesses}
    assert told == {
        "Gear": "right-seat", "Flaps": "right-seat", "Power": "left-seat", "Altimeters": "both",
        "Lights": "right-seat", "Bleeds": "left-seat",
    }  # fmt: skip


@pytest.mark.parametrize("both", ["L+R", "L/R", "L & R", "R+L", "B"])
def test_both_seats_are_written_in_many_ways(both: str) -> None:
    items = tuple((name, said, both if seat == "L+R" else seat) for name, said, seat in ITEMS)
    assert _read(items).guesses[3].item.who == "both"


def test_a_value_stays_with_its_item() -> None:
    power = _read(ITEMS).guesses[2]
    assert power.item.responses == ("climb, {power}",)
    assert len(power.blanks) == 1


def test_a_few_letters_are_no_column_of_seats() -> None:
    items = tuple((n, said, seat if at < 2 else "") for at, (n, said, seat) in enumerate(ITEMS))
    assert not any(g.item.who for g in _read(items).guesses)


@pytest.mark.parametrize("form", ["{} [{}]", "{}[{}]", "{} [ {} ]"])
def test_letters_in_brackets_behind_the_items_say_who_answers(form: str) -> None:
    items = tuple((form.format(name, seat), said, "") for name, said, seat in ITEMS)
    found = _read(items).guesses
    assert [(g.item.challenge, g.item.who) for g in found] == [
        ("Gear", "right-seat"), ("Flaps", "right-seat"), ("Power", "left-seat"),
        ("Altimeters", "both"), ("Lights", "right-seat"), ("Bleeds", "left-seat"),
    ]  # fmt: skip
    assert found[2].item.responses == ("climb, {power}",)


def test_letters_before_the_items_say_who_answers() -> None:
    found = words("CLIMB", 40, 10, 16)
    for at, (name, said, seat) in enumerate(ITEMS):
        found += words(seat, 20, 50 + 20 * at) + words(name, 80, 50 + 20 * at)
        found += words(said, 300, 50 + 20 * at)
    guesses = read_rows(page_rows(Page(1, 600, 800, tuple(found))), {}).guesses
    assert [(g.item.challenge, g.item.responses[0], g.item.who) for g in guesses] == [
        ("Gear", "up", "right-seat"), ("Flaps", "0", "right-seat"),
        ("Power", "climb, {power}", "left-seat"), ("Altimeters", "STD, compared", "both"),
        ("Lights", "off", "right-seat"), ("Bleeds", "norm", "left-seat"),
    ]  # fmt: skip


def test_a_few_letters_in_brackets_are_part_of_the_items() -> None:
    items = tuple(
        (f"{name} [{seat}]" if at < 2 else name, said, "")
        for at, (name, said, seat) in enumerate(ITEMS)
    )
    found = _read(items).guesses
    assert not any(g.item.who for g in found)
    assert len(found) == len(items)


def test_the_same_letter_behind_all_is_no_seat() -> None:
    items = tuple((f"{name} [L]", said, "") for name, said, _ in ITEMS)
    assert not any(g.item.who for g in _read(items).guesses)


def test_a_mark_that_touches_its_response_is_in_the_column_of_marks() -> None:
    found: list[Word] = []
    for at, name in enumerate(("Gear", "Flaps", "Lights", "Doors")):
        found += words(name, 40, 60 + 18 * at) + words("SET", 250, 60 + 18 * at)
        found += words("PF" if at % 2 else "PM", 310, 60 + 18 * at)
    found += words("Altimeters", 40, 132) + words("QNH SET CHECKED BOTH", 215, 132)
    last = read_rows(page_rows(Page(1, 600, 800, tuple(found))), {}).guesses[-1].item
    assert (last.challenge, last.who) == ("Altimeters", "both")
    assert "both" not in last.responses[0].casefold()


def test_a_letter_in_brackets_behind_a_value_is_the_mark_of_its_line() -> None:
    found: list[Word] = []
    marked = (("Gear", "R"), ("Flaps", "R"), ("Power", "L"), ("Lights", "B"))
    for at, (name, seat) in enumerate(marked):
        found += words(name, 40, 60 + 18 * at) + words("SET", 250, 60 + 18 * at)
        found += words(f"({seat})", 310, 60 + 18 * at)
    found += words("Speeds", 40, 132) + words("V1 ____ VR ____ (B)", 230, 132)
    last = read_rows(page_rows(Page(1, 600, 800, tuple(found))), {}).guesses[-1].item
    assert (last.challenge, last.who) == ("Speeds", "both")
    assert last.responses == ("V1 {v1}, VR {vr}",)
