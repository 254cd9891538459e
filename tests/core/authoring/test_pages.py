"""Words with places into rows: columns, rules, leaders, blanks."""

from __future__ import annotations

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import Reading
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.paper.page import Box, Page, Word


def words(text: str, left: float, top: float, size: float = 10.0) -> list[Word]:
    """Return a text as words, each letter half as wide as it is high."""
    made, at = [], left
    for part in text.split(" "):
        width = len(part) * size * 0.5
        made.append(Word(part, Box(at, top, at + width, top + size)))
        at += width + size * 0.3
    return made


def read_page(found: list[Word], strokes: tuple[Box, ...] = ()) -> Reading:
    page = Page(1, 600, 800, tuple(found), strokes)
    return read_rows(page_rows(page), known_rivals())


def pairs_of(reading: Reading) -> list[tuple[str, tuple[str, ...]]]:
    return [(guess.item.challenge, guess.item.responses) for guess in reading.guesses]


def test_two_columns_are_read_one_after_the_other() -> None:
    found = words("TAXI CHECKLIST", 40, 20, 16)
    for at in range(6):
        top = 60 + 16 * at
        found += words(f"LEFT ITEM {at}", 40, top) + words("ON", 230, top)
        found += words(f"RIGHT ITEM {at}", 320, top) + words("OFF", 520, top)
    reading = read_page(found)
    names = [f"Left item {n}" for n in range(6)] + [f"Right item {n}" for n in range(6)]
    assert [challenge for challenge, _ in pairs_of(reading)] == names
    assert reading.title == "Taxi"


def test_challenge_and_response_are_no_columns() -> None:
    found = words("TAXI CHECKLIST", 40, 20, 16)
    for at, name in enumerate(("BRAKES", "FLAPS", "LIGHTS", "TRIM", "DOORS")):
        found += words(name, 40, 60 + 16 * at) + words("ON", 400, 60 + 16 * at)
    assert len(pairs_of(read_page(found))) == 5


def test_a_stroke_in_a_line_is_a_blank_and_one_under_words_is_none() -> None:
    found = words("TAXI", 40, 20, 16) + words("ALTIMETER", 40, 60) + words("SET", 460, 60)
    found += words("BRAKES", 40, 80) + words("CHECKED", 440, 80)
    strokes = (Box(410, 69, 455, 70), Box(440, 90, 480, 91))
    assert pairs_of(read_page(found, strokes)) == [
        ("Altimeter", ("{altimeter} set",)),
        ("Brakes", ("checked",)),
    ]


def test_lines_between_two_rules_are_one_item() -> None:
    found = words("TAXI", 40, 10, 16)
    strokes = []
    for at in range(5):
        top = 50 + 40 * at
        strokes.append(Box(30, top - 6, 560, top - 5))
        found += words("A LONG CHALLENGE THAT GOES", 40, top) + words("ON", 400, top)
        found += words(f"OVER {at}", 40, top + 12)
    strokes.append(Box(30, 244, 560, 245))
    names = [challenge for challenge, _ in pairs_of(read_page(found, tuple(strokes)))]
    assert names == [f"A long challenge that goes over {at}" for at in range(5)]


def test_a_crew_column_makes_no_columns_of_the_page() -> None:
    found = words("TAXI CHECKLIST", 40, 10, 16)
    for at, name in enumerate(("BRAKES", "FLAPS", "LIGHTS", "TRIM", "DOORS")):
        top = 60 + 16 * at
        found += words("PM", 40, top) + words(name, 90, top) + words("ON", 300, top)
    reading = read_page(found)
    assert [guess.item.who for guess in reading.guesses] == ["pilot-monitoring"] * 5
    assert pairs_of(reading)[0] == ("Brakes", ("on",))


def test_both_alone_is_a_position_and_no_crew_mark() -> None:
    found = words("TAXI", 40, 10, 16) + words("FUEL SELECTOR", 40, 60) + words("BOTH", 300, 60)
    (guess,) = read_page(found).guesses
    assert (guess.item.responses, guess.item.who) == (("both",), "")


def test_a_response_that_cannot_end_there_goes_on_in_the_next_line() -> None:
    found = words("TAXI", 40, 10, 16) + words("ALTIMETERS", 40, 60) + words("SET /", 300, 60)
    found += words("CROSS-CHECKED", 250, 72) + words("FLAPS", 40, 88) + words("UP", 300, 88)
    assert pairs_of(read_page(found)) == [
        ("Altimeters", ("set, cross-checked",)),
        ("Flaps", ("up",)),
    ]


def test_letters_and_numbers_before_items_are_no_part_of_them() -> None:
    found = words("TAXI", 40, 10, 16)
    for at, name in enumerate(("a) BRAKES", "B) FLAPS", "3. LIGHTS")):
        found += words(name, 40, 60 + 16 * at) + words("ON", 300, 60 + 16 * at)
    names = [challenge for challenge, _ in pairs_of(read_page(found))]
    assert names == ["Brakes", "Flaps", "Lights"]


def test_what_stands_level_with_a_page_number_belongs_to_the_page() -> None:
    found = words("TAXI", 40, 100, 16)
    for at, name in enumerate(("PARKING BRAKE (C)", "FLAPS", "LIGHTS")):
        found += words(name, 40, 130 + 16 * at) + words("ON", 300, 130 + 16 * at)
    found += (
        words("QRC 3", 40, 770, 7) + words("Harrow", 250, 770, 7) + words("p. 3/8", 500, 770, 7)
    )
    page = Page(1, 600, 800, tuple(found))
    kept, furniture = leave_out_furniture((page,), page_rows(page))
    assert len(read_rows(kept, known_rivals()).guesses) == 3
    assert len(furniture) == 1


def test_three_columns_without_leaders_are_three_columns() -> None:
    found = words("NORMAL CHECKLIST", 40, 10, 16)
    for column, name in enumerate(("START", "TAXI", "LINE")):
        for at in range(5):
            left = 40 + 300 * column
            found += words(f"{name} {at}", left, 60 + 16 * at) + words(
                "ON", left + 220, 60 + 16 * at
            )
    names = [f"{name} {at}" for name in ("Start", "Taxi", "Line") for at in range(5)]
    assert [challenge for challenge, _ in pairs_of(read_page(found))] == names


def test_a_long_line_over_items_set_in_a_little_is_a_heading() -> None:
    """Two such items follow it; a challenge that goes on in a second line has one."""
    found = words("TAXI CHECKLIST", 40, 20, 16)
    top = 50
    for heading in ("Overhead panel, from top to bottom", "Front"):
        found += words(heading, 40, top)
        for name in ("Batteries", "Pumps", "Windows"):
            top += 14
            found += words(name, 47, top) + words("on", 400, top)
        top += 17
    assert [challenge for challenge, _ in pairs_of(read_page(found))] == [
        "Batteries", "Pumps", "Windows", "Batteries", "Pumps", "Windows",
    ]  # fmt: skip
