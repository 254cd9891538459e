"""Whole sheets in conventions that change how a page is divided, not only its lines."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import Doubt, Reading, with_layout_asked
from callout.core.authoring.reading import read_rows
from callout.core.paper.page import Box, Page, Word
from callout.core.weighing.choosing import best_rows, poor_pages
from tests.core.authoring.test_pages import pairs_of, words

RIVALS = known_rivals()


def _read(found: list[Word], frames: tuple[Box, ...] = (), bands: tuple[Box, ...] = ()) -> Reading:
    page = Page(1, 600.0, 840.0, tuple(found), (), frames, bands=bands)
    rows = best_rows([page], RIVALS)
    kept, _ = leave_out_furniture([page], rows)
    return with_layout_asked(read_rows(kept, RIVALS), poor_pages([page], rows, RIVALS))


def _bold(text: str, left: float, top: float, size: float = 10.0) -> list[Word]:
    return [replace(word, bold=True) for word in words(text, left, top, size)]


def _names(reading: Reading) -> list[str]:
    return [challenge for challenge, _ in pairs_of(reading)]


BANDS = (
    ("STARTING", "on the apron, nose clear", (("Brakes", "ON"), ("Mixture", "RICH")),
     (("Primer", "LOCKED"), ("Propeller", "CLEAR"))),
    ("AFTER START", "engine warming", (("RPM", "1000"), ("Ammeter", "CHARGING")),
     (("Radio", "ON"), ("Altimeter", "SET"))),
    ("LINE-UP", "holding point", (("Flaps", "UP"), ("Trim", "SET")),
     (("Transponder", "ALT"), ("Pitot heat", "ON"))),
)  # fmt: skip


def test_bands_of_two_columns_are_read_band_by_band() -> None:
    found: list[Word] = []
    frames: list[Box] = []
    bands: list[Box] = []
    count, top = 0, 40.0
    for name, note, left, right in BANDS:
        found += _bold(name, 45, top) + words(note, 550 - 5 * len(note), top)
        bands.append(Box(40, top - 4, 560, top + 14))
        for column, items in ((40.0, left), (310.0, right)):
            for at, (item, said) in enumerate(items):
                count, y = count + 1, top + 22 + 20 * at
                found += words(str(count), column + 3, y, 8) + words(item, column + 20, y)
                found += _bold(said, column + 230 - 5 * len(said), y)
                frames.append(Box(column, y - 2, column + 13, y + 11))
        top += 80
    reading = _read(found, tuple(frames), tuple(bands))
    wanted = [pair for _, _, left, right in BANDS for pair in (*left, *right)]
    assert _names(reading) == [name for name, _ in wanted]
    assert [said[0].casefold() for _, said in pairs_of(reading)] == [
        said.casefold() for _, said in wanted
    ]
    assert [guess.section or reading.title for guess in reading.guesses][::4] == [
        "Starting", "After start", "Line-up",
    ]  # fmt: skip


STEPS = (
    ("2500 ft", "Turn towards it.", (("Country", "within reach"), ("Ballast", "dumped"))),
    ("1800 ft", "It looks flat from here.", (("Slope", "level"), ("Surface", "dry"))),
    ("1200 ft", "Look for poles.", (("Wires", "none"), ("Stock", "none"), ("Crew", "called"))),
    ("1000 ft", "Not later.", (("Gear", "down, locked"), ("Straps", "tight"))),
    ("500 ft", "Keep to it.", (("Flap", "set"), ("Airbrakes", "unlocked"))),
)


def test_a_margin_and_remarks_beside_three_columns_make_no_item() -> None:
    found: list[Word] = words("LANDING OUT", 40, 20, 16)
    top = 60.0
    for height, remark, items in STEPS:
        found += _bold(height, 50, top) + words(remark, 400, top, 9)
        for name, said in items:
            found += words(name, 130, top) + _bold(said, 250, top)
            top += 17
        top += 14
    reading = _read(found)
    assert pairs_of(reading) == [(name, (said,)) for *_, items in STEPS for name, said in items]


def test_boxes_with_numbered_headings_are_read_in_that_order() -> None:
    boxes = (
        ("3 Downwind", 40, 40, ("Brakes", "off"), ("Mixture", "rich")),
        ("2 Crosswind", 310, 40, ("Turn height", "500 ft"), ("Power", "2200 rpm")),
        ("4 Base", 40, 140, ("Flaps", "20"), ("Trim", "set")),
        ("1 Climb-out", 310, 140, ("Speed", "70 kt"), ("Gauges", "green")),
    )
    found: list[Word] = []
    for name, left, top, *items in boxes:
        found += _bold(name, left + 8, top, 11)
        for at, (item, said) in enumerate(items):
            y = top + 20 + 16 * at
            found += words(item, left, y) + words(said, left + 230 - 5 * len(said), y)
    assert _names(_read(found)) == [
        "Speed", "Gauges", "Turn height", "Power", "Brakes", "Mixture", "Flaps", "Trim",
    ]  # fmt: skip


def test_a_condition_between_numbered_items_and_an_end_mark_are_in_none() -> None:
    lines = (
        "1.1 Power lever ........ IDLE", "1.2 Propeller ........ FEATHER", "Fire light on:",
        "1.3 Fire handle ........ PULL", "1.4 Bottle ........ DISCHARGE", "Light out:",
        "1.5 Crossfeed ........ OPEN", "1.6 Level ........ FL ____", "END",
    )  # fmt: skip
    found = _bold("ENGINE FAILURE", 40, 20, 14)
    for at, line in enumerate(lines):
        found += words(line, 400 if line == "END" else 40, 60 + 16 * at)
    reading = _read(found)
    assert _names(reading) == [
        "Power lever", "Propeller", "Fire handle", "Bottle", "Crossfeed", "Level",
    ]  # fmt: skip
    assert not any("END" in said for _, replies in pairs_of(reading) for said in replies)


def test_small_type_under_a_challenge_is_a_remark_on_it() -> None:
    found = _bold("START", 40, 20, 16)
    items = (
        ("Door seal", "latched", "listen for two clicks"),
        ("Fuel selector", "both", "change every half hour"),
        ("Primer", "locked", "push, then turn"),
        ("Beacon", "on", "tells people outside"),
    )
    for at, (name, said, hint) in enumerate(items):
        y = 60 + 34 * at
        found += words(name, 40, y) + words(said, 300, y) + words(hint, 40, y + 12, 7)
    reading = _read(found)
    assert pairs_of(reading) == [(name, (said,)) for name, said, _ in items]
    assert [guess.item.note for guess in reading.guesses] == [hint for *_, hint in items]


@pytest.mark.parametrize("wrapped", ["challenge", "response"])
def test_a_part_beside_the_middle_of_two_lines_goes_with_both(wrapped: str) -> None:
    found = words("FINAL", 40, 20, 16)
    for at, name in enumerate(("Flaps", "Lights", "Trim", "Speed")):
        found += words(name, 40, 60 + 20 * at) + words("SET", 300, 60 + 20 * at)
    two, one = (40.0, 300.0) if wrapped == "challenge" else (300.0, 40.0)
    first, last = ("Cabin heater", "and blower") if wrapped == "challenge" else ("OFF AND", "COLD")
    found += words(first, two, 140) + words(last, two, 151)
    found += words("OFF" if wrapped == "challenge" else "Cabin heater", one, 145.5)
    name, replies = pairs_of(_read(found))[-1]
    told = (
        ("Cabin heater and blower", "off")
        if wrapped == "challenge"
        else ("Cabin heater", "off and cold")
    )
    assert (name, replies[0].casefold()) == told


def test_dots_at_the_end_of_lines_are_written_on() -> None:
    found = words("LOAD", 40, 20, 16)
    for at, (name, after) in enumerate(
        (("Passengers", ""), ("Squawk", ""), ("Bags", "lb"), ("Slot", ""), ("Ends", "Z"))
    ):
        y = 60 + 20 * at
        found += words(name, 40, y) + words("......", 380, y)
        found += words(after, 415, y) if after else []
    found += words("Doors", 40, 160) + words("LOCKED", 400, 160)
    replies = dict(pairs_of(_read(found)))
    assert all("{" in replies[name][0] for name in ("Passengers", "Squawk", "Bags", "Slot"))
    assert replies["Doors"][0].casefold() == "locked"


def test_a_page_of_odd_lines_is_asked_about_and_a_plain_one_is_not() -> None:
    plain, odd = words("TAXI", 40, 20, 16), words("TAXI", 40, 20, 16)
    for at in range(8):
        y = 60 + 20 * at
        plain += words(
            ("Flaps", "Trim", "Doors", "Pump", "Lights", "Fuel", "Oil", "Belts")[at], 40, y
        )
        plain += words("SET", 300, y)
        odd += words("green or", 40, y) + words("Two of them, and", 150 + 9 * at, y)
    for found, asked in ((plain, False), (odd, True)):
        doubts = [doubt for guess in _read(found).guesses for doubt in guess.doubts]
        assert (Doubt.LAYOUT in doubts) is asked


def test_two_short_lists_beside_each_other_are_read_one_after_the_other() -> None:
    found = words("IMBALANCE", 40, 20, 16)
    for at, name in enumerate(("Fuel quantity", "Fuel flow")):
        found += words(name, 40, 60 + 18 * at) + words(
            "................ COMPARED", 300, 60 + 18 * at
        )
    found += _bold("NO", 130, 110) + _bold("YES", 400, 110)
    two = (("Pumps", "ALL ON", "Engine", "SECURED"), ("Balance", "WATCHED", "Valve", "CLOSED"))
    for at, (one, said, other, told) in enumerate(two):
        y = 128 + 18 * at
        found += words(one, 40, y) + words(said, 200, y)
        found += words(other, 310, y) + words(told, 500, y)
    reading = _read(found)
    assert _names(reading)[2:] == ["Pumps", "Balance", "Engine", "Valve"]
    assert [guess.section for guess in reading.guesses[2:]] == ["No", "No", "Yes", "Yes"]


def test_a_challenge_goes_on_under_itself_and_not_in_its_response() -> None:
    found = words("CHARTER", 40, 20, 16)
    items = (
        ("Locator", "", "armed"), ("Briefing on exits and", "smoking", "given, understood"),
        ("Selector and its", "safety latch", "both tanks"), ("Lever", "", "forward"),
    )  # fmt: skip
    y = 60.0
    for name, more, said in items:
        found += words(name, 40, y) + words(said, 250, y)
        found += words(more, 40, y + 11) if more else []
        y += 30 if more else 19
    assert pairs_of(_read(found)) == [
        (f"{name} {more}".strip(), (said,)) for name, more, said in items
    ]


def test_a_large_letter_beside_a_list_is_in_no_item() -> None:
    found: list[Word] = []
    items = (("Gear", "THREE GREEN"), ("Flaps", "30"), ("Speed", "85 kt"), ("Lights", "ON"))
    for at, (name, said) in enumerate(items):
        found += words(name, 90, 60 + 18 * at) + words(said, 300, 60 + 18 * at)
    found += words("L", 45, 80, 22)
    assert _names(_read(found)) == [name for name, _ in items]
