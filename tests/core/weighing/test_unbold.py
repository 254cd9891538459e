"""What a picture does not show as bold, tables of speeds, and letters of a mnemonic."""

from __future__ import annotations

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.guesses import Reading
from callout.core.authoring.reading import read_rows
from callout.core.paper.page import Box, Page, Word
from callout.core.weighing.choosing import best_rows
from tests.core.authoring.test_pages import words

RIVALS = known_rivals()
PAIRS = [("Water rudders", "DOWN"), ("Float lockers", "EMPTY, LATCHED"), ("Trim", "SET"),
         ("Oil pressure", "GREEN IN 30 SEC"), ("Doors", "SHUT")]  # fmt: skip


def read(found: list[Word]) -> Reading:
    return read_rows(best_rows((Page(1, 600, 800, tuple(found)),), RIVALS), RIVALS)


def shown(reading: Reading) -> list[tuple[str, str]]:
    return [(g.item.challenge, " / ".join(g.item.responses).casefold()) for g in reading.guesses]


def test_capitals_behind_small_letters_are_the_response() -> None:
    found = [w for at, pair in enumerate(PAIRS) for w in words(" ".join(pair), 40, 40 + 18 * at)]
    assert shown(read(found)) == [(one, two.casefold()) for one, two in PAIRS]


def table(*rows: tuple[str, ...], lefts: tuple[float, ...] = (40, 200)) -> list[Word]:
    return [
        word
        for at, row in enumerate(rows)
        for left, text in zip(lefts, row, strict=False)
        for word in words(text, left, 40 + 18 * at)
    ]


def test_a_table_of_speeds_is_left_out_and_shown() -> None:
    reading = read(table(*PAIRS, ("Vr", "54"), ("Vx", "62 kt"), ("Vy", "74"), ("Vfe", "98")))
    assert len(reading.guesses) == len(PAIRS)
    told = " ".join(out.origin.text for out in reading.left_out)
    assert all(name in told for name in ("Vr 54", "Vx 62 kt", "Vy 74", "Vfe 98"))


def test_a_speed_to_write_in_stays_an_item() -> None:
    reading = read(table(*PAIRS, ("Vr", "____ kt"), ("Vx", "____ kt"), ("Vy", "____ kt")))
    assert len(reading.guesses) == len(PAIRS) + 3


def test_letters_of_a_mnemonic_in_a_column_are_no_part_of_the_challenge() -> None:
    rows = [("F", "Fuel", "on"), ("R", "Radio", "set"), ("E", "Engine", "green"),
            ("D", "Direction", "aligned"), ("A", "Altimeter", "set")]  # fmt: skip
    reading = read(table(*rows, lefts=(40, 80, 220)))
    assert [g.item.challenge for g in reading.guesses] == [name for _, name, _ in rows]


def test_another_value_on_the_next_line_belongs_to_the_last_item() -> None:
    rows = [
        ("Oil", "checked"),
        ("Wind", "____ kt"),
        ("from", "____"),
        ("Flaps", "up"),
        ("Trim", "set"),
    ]
    reading = read(table(*rows))
    assert [g.item.challenge for g in reading.guesses] == ["Oil", "Wind", "Flaps", "Trim"]
    wind = reading.guesses[1].item.responses[0]
    assert wind.count("{") == 2


def test_dots_after_the_names_of_two_values_are_written_on() -> None:
    found = table(("FUEL", "L"), ("OIL", "CHECKED"), ("TRIM", "SET"), ("DOORS", "SHUT"))
    for left, text in ((212.0, "....."), (248.0, "R"), (260.0, "....."), (296.0, "GALLONS")):
        found.append(Word(text, Box(left, 40, left + 5 * len(text), 50)))
    responses = read(found).guesses[0].item.responses
    assert responses[0].count("{") == 2
