"""Rows as a person takes them: names in a margin, bare numbers, items in one line, tables."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rearranged import rejoin_parted
from callout.core.authoring.rows import page_rows
from callout.core.authoring.texts import read_list_text
from callout.core.paper.page import Box, Cell, Origin, Page, Row
from callout.core.weighing.table_shape import with_heads
from tests.core.authoring.test_pages import pairs_of, read_page, words

RIVALS = known_rivals()


def test_a_name_in_the_margin_is_the_heading_of_the_items_beside_it() -> None:
    found = words("AFTER START", 200, 10, 16)
    rows = (
        ("Engine", "Oil", "green"),
        ("", "Idle", "set"),
        ("Cabin", "Air", "on"),
        ("", "Belts", "on"),
    )
    rows = (*rows, ("", "Doors", "shut"))
    for at, (name, challenge, response) in enumerate(rows):
        top = 50 + 16 * at
        found += (words(name, 40, top) if name else []) + words(challenge, 140, top)
        found += words(response, 400, top)
    reading = read_page(found)
    assert pairs_of(reading)[0] == ("Oil", ("green",))
    assert [g.section for g in reading.guesses] == ["Engine", "Engine", "Cabin", "Cabin", "Cabin"]


def test_bare_numbers_that_count_the_items_are_left_aside() -> None:
    found = words("FAILURE", 40, 10, 16)
    for at, name in enumerate(("Generator", "Bus tie", "Load")):
        found += words(f"{at + 1} {name}", 40, 50 + 16 * at) + words("CHECKED", 400, 50 + 16 * at)
    found += words("737 Hz unit", 40, 98) + words("ON", 400, 98)
    names = [challenge for challenge, _ in pairs_of(read_page(found))]
    assert names == ["Generator", "Bus tie", "Load", "737 Hz unit"]


def test_numbers_that_do_not_count_stay() -> None:
    found = words("TANKS", 40, 10, 16)
    for at, name in enumerate(("2 Pumps", "3 Valves", "4 Caps")):
        found += words(name, 40, 50 + 16 * at) + words("SHUT", 400, 50 + 16 * at)
    assert pairs_of(read_page(found))[0] == ("2 Pumps", ("shut",))


def test_several_items_in_one_line_are_items() -> None:
    found = words("DOWNWIND", 40, 10, 16)
    found += words("Brakes OFF \u2022 Gear DOWN \u2022 Fuel ON, PUMP ON \u2022 Flaps", 40, 50)
    found += words("____ \u2022 Hatches SECURE", 40, 62)
    assert pairs_of(read_page(found)) == [
        ("Brakes", ("off",)), ("Gear", ("down",)), ("Fuel", ("on, pump on",)),
        ("Flaps", ("{flaps}",)), ("Hatches", ("secure",)),
    ]  # fmt: skip


def test_a_cell_under_a_heading_far_from_it_is_no_response() -> None:
    found = words("START", 40, 10, 16)
    for left, head in ((40, "No."), (80, "Challenge"), (250, "Response"), (400, "Remarks")):
        found += words(head, left, 50)
    items = (
        ("Brake", "Set", ""),
        ("Area", "", "Look out on both sides"),
        ("Starter", "On", "30 s"),
    )
    for at, (challenge, response, remark) in enumerate(items):
        top = 66 + 16 * at
        found += words(f"{at + 1}", 40, top) + words(challenge, 80, top)
        found += words(response, 250, top) if response else []
        found += words(remark, 400, top) if remark else []
    reading = read_page(found)
    told = [(g.item.challenge, g.item.responses, g.item.note) for g in reading.guesses]
    assert told == [
        ("Brake", ("set",), ""), ("Area", (), "Look out on both sides"),
        ("Starter", ("on",), "30 s"),
    ]  # fmt: skip
    assert reading.guesses[1].doubts


def test_a_slash_in_every_line_leads_to_the_response() -> None:
    found = words("ARRIVAL", 40, 10, 16)
    items = ("Altimeter / SET", "Fuel / ENOUGH", "Runway / ____", "Brief / DONE", "Flaps / UP")
    for at, text in enumerate(items):
        found += words(text, 40, 50 + 16 * at)
    assert pairs_of(read_page(found))[1:3] == [("Fuel", ("enough",)), ("Runway", ("{runway}",))]


@pytest.mark.parametrize(
    ("line", "challenge", "replies"),
    [
        ("Gear [UP]", "Gear", ("up",)),
        ("Information [LETTER ____]", "Information", ("letter {information}",)),
        ("Belts? Fastened.", "Belts", ("fastened",)),
        ("Load: ____ A", "Load", ("{load}",)),
    ],
)
def test_brackets_and_questions(line: str, challenge: str, replies: tuple[str, ...]) -> None:
    item = read_list_text(f"# Taxi\n{line}\n", RIVALS).guesses[0].item
    assert (item.challenge, item.responses) == (challenge, replies)


def test_the_way_on_after_a_question_is_no_item() -> None:
    reading = read_list_text("# Taxi\nBus tie .... SHUT\nYes: continue the flight.\n", RIVALS)
    assert [(g.item.challenge, g.item.note) for g in reading.guesses] == [
        ("Bus tie", "Yes: continue the flight")
    ]


def _lettered(*letters: str) -> list[tuple[str, str]]:
    found = words("FUELLING", 40, 10, 16)
    for at, letter in enumerate(letters):
        top = 50 + 60 * at
        found += words(letter, 40, top) + words(f"Beside the pump {at}", 70, top)
        found += words(f"Wire {at}", 40, top + 20) + words("CLIPPED", 300, top + 20)
        found += words(f"Cap {at}", 40, top + 40) + words("TIGHT", 300, top + 40)
    return [(guess.section, guess.item.challenge) for guess in read_page(found).guesses]


def test_letters_that_count_the_sections_are_no_items() -> None:
    assert _lettered("A", "B")[::2] == [("A Beside the pump 0", "Wire 0"),
                                        ("B Beside the pump 1", "Wire 1")]  # fmt: skip


def test_letters_that_do_not_count_head_nothing() -> None:
    assert ("A Beside the pump 0", "Wire 0") not in _lettered("A", "C")


STRIPED = (
    ("Wind", "CHECKED"), ("Surface", "grass or snow"), ("Slope", "up"), ("Gate", "closed"),
    ("Fuel", "both"), ("Skis", "down"), ("Trim", "set"), ("Pump", "on"), ("Radio", "called"),
    ("Belts", "tight"), ("Bags", "tied"), ("Doors", "locked"),
)  # fmt: skip


def test_stripes_behind_some_items_head_nothing() -> None:
    found = words("ARRIVAL", 40, 10, 16)
    bands = []
    for at, (item, said) in enumerate(STRIPED):
        found += words(item, 40, 50 + 20 * at) + words(said, 360 - 5 * len(said), 50 + 20 * at)
        bands += [Box(30, 47 + 20 * at, 380, 64 + 20 * at)] if at in (1, 3, 5) else []
    rows = page_rows(Page(1, 600, 800, tuple(found), bands=tuple(bands)))
    read = [name for name, _ in pairs_of(read_rows(rows, RIVALS))]
    assert read == [item for item, _ in STRIPED]


def test_a_title_that_a_dash_divides_heads_no_table() -> None:
    found = words("FERNEY \u2013 HILL ARRIVAL", 110, 10, 14)
    found = [replace(word, bold=True) for word in found]
    found += words("Moor flying school \u2013 dual and solo", 116, 30, 8)
    for at, (item, said) in enumerate(STRIPED):
        found += words(item, 40, 50 + 20 * at) + words(said, 360 - 5 * len(said), 50 + 20 * at)
    (first, *_) = with_heads(page_rows(Page(1, 600, 800, tuple(found))))
    assert first.names == ()


def _row(text: str, left: float, top: float) -> Row:
    right = left + 5 * len(text)
    return Row((Cell(text, left, right),), Origin(1, 1, text, Box(left, top, right, top + 10)))


def test_a_response_that_columns_cut_off_stands_beside_its_challenge_again() -> None:
    parts = [[_row("Standby horizon", 40, 200)], [_row("ON", 500, 201), _row("Notes", 300, 230)]]
    rejoin_parted(parts, 10.0)
    assert [cell.text for cell in parts[0][0].cells] == ["Standby horizon", "ON"]
    assert [row.cells[0].text for row in parts[1]] == ["Notes"]


@pytest.mark.parametrize(("said", "top"), [("ON", 240), ("Electrical panel", 201)])
def test_what_is_not_level_or_no_response_stays_in_its_column(said: str, top: float) -> None:
    parts = [[_row("Standby horizon", 40, 200)], [_row(said, 500, top)]]
    rejoin_parted(parts, 10.0)
    assert [len(part) for part in parts] == [1, 1]
