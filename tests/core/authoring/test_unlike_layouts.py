"""Layouts of word processors: merged cells, leaders of underscores, steps of steps, pairs."""

from __future__ import annotations

import pytest

from callout.app.authoring.pdf_words import Letter, letter_words
from callout.app.authoring.sources import known_rivals
from callout.core.authoring.guesses import Doubt
from callout.core.authoring.responses import understand_response
from callout.core.authoring.texts import read_list_text
from callout.core.paper.page import Box, Word
from tests.core.authoring.test_pages import pairs_of, read_page, words

RIVALS = known_rivals()


def test_a_merged_cell_belongs_to_each_row_beside_it() -> None:
    found = words("DESCENT", 40, 10, 16)
    rules = [Box(30, y, 570, y + 1) for y in (50, 110, 150)]
    rules += [Box(150, y, 570, y + 1) for y in (70, 90, 130)]
    rows = (("QUANTITY", "____ KG"), ("BALANCE", "CHECKED"), ("PUMPS", "ON"))
    for at, (name, reply) in enumerate(rows):
        found += words(name, 160, 55 + 20 * at) + words(reply, 400, 55 + 20 * at)
    found += words("FUEL", 50, 75) + words("AIR", 50, 125)
    found += words("PACKS", 160, 115) + words("AUTO", 400, 115)
    found += words("BLEEDS", 160, 135) + words("OPEN", 400, 135)
    origins = [guess.origin.text for guess in read_page(found, tuple(rules)).guesses]
    assert [text.split()[:2] for text in origins] == [
        ["FUEL", "QUANTITY"], ["FUEL", "BALANCE"], ["FUEL", "PUMPS"],
        ["AIR", "PACKS"], ["AIR", "BLEEDS"],
    ]  # fmt: skip


def test_underscores_of_many_lengths_lead_and_a_short_one_after_them_is_a_blank() -> None:
    found = words("SECURE", 40, 10, 16)
    items = (("MASTER", "OFF"), ("IGNITION", "OFF"), ("ELT", "ARMED"), ("TIE-DOWNS", "TIGHT"))
    for at, (name, reply) in enumerate(items):
        top, right = 50 + 16 * at, 300 - 5 * len(reply)
        line = Word("_" * (12 - len(name)), Box(50 + 5 * len(name), top, right - 4, top + 10))
        found += [*words(name, 40, top), line, *words(reply, right, top)]
    found += words("HOBBS ________ ____ HOURS", 40, 114)
    assert pairs_of(read_page(found)) == [
        ("Master", ("off",)), ("Ignition", ("off",)), ("ELT", ("armed",)),
        ("Tie-downs", ("tight",)), ("Hobbs", ("{hobbs}",)),
    ]  # fmt: skip


def test_a_few_blanks_alike_are_values() -> None:
    found = words("TAKE-OFF", 40, 10, 16)
    for at, name in enumerate(("MASS", "FUEL", "POWER", "FLAPS", "TRIM")):
        found += words(f"{name} ____ SET", 40, 50 + 16 * at)
    assert all("{" in replies[0] for _, replies in pairs_of(read_page(found)))


def test_pairs_of_lines_that_begin_alike_are_challenge_and_response() -> None:
    found = words("DITCHING", 250, 10, 16)
    rules = []
    for at, (name, reply) in enumerate(
        (("Doors", "unlatched"), ("Flaps", "full"), ("Speed", "58 kt"), ("Beacon", "on"))
    ):
        top = 50 + 40 * at
        found += words(name, 280, top) + words(reply, 280, top + 13)
        rules.append(Box(30, top + 28, 570, top + 29))
    assert pairs_of(read_page(found, tuple(rules))) == [
        ("Doors", ("unlatched",)), ("Flaps", ("full",)), ("Speed", ("58 kt",)), ("Beacon", ("on",)),
    ]  # fmt: skip


def test_a_numbered_line_over_steps_that_are_set_in_is_their_heading() -> None:
    found = words("STARTING", 40, 10, 16)
    lines = ("1. Fuel", "   a. Selector to BOTH", "   b. Pump to ON", "2. Starter: engaged")
    for at, line in enumerate(lines):
        set_in = 30 if line.startswith(" ") else 0
        found += words(line.strip(), 40 + set_in, 50 + 16 * at)
    reading = read_page(found)
    assert pairs_of(reading) == [
        ("Selector", ("both",)), ("Pump", ("on",)), ("Starter", ("engaged",)),
    ]  # fmt: skip
    assert reading.guesses[0].section == "Fuel"


def test_a_word_divided_between_two_lines_is_whole() -> None:
    found = words("TAXI", 40, 10, 16) + words("TRANS-", 40, 50)
    found += words("PONDER ........ STANDBY", 40, 62) + words("BRAKES ........ SET", 40, 74)
    assert pairs_of(read_page(found))[0] == ("Transponder", ("standby",))


def test_a_line_set_like_the_items_around_it_lacks_its_response_and_is_asked_about() -> None:
    found = words("NIGHT", 40, 10, 16)
    for at, name in enumerate(("Lights", "Horizon", "Torch", "Heading bug", "Radio", "Plan")):
        found += words(name, 40, 50 + 20 * at)
        if name != "Heading bug":
            found += words("checked", 400, 50 + 20 * at)
    guess = next(g for g in read_page(found).guesses if g.item.challenge == "Heading bug")
    assert guess.doubts == (Doubt.NO_RESPONSE,)


def test_a_condition_on_a_line_of_its_own_does_not_go_on_with_a_response() -> None:
    found = words("CRUISE", 40, 10, 16)
    for at, name in enumerate(("Oxygen", "Mixture", "Power")):
        found += words(name, 40, 50 + 16 * at) + words("set", 400, 50 + 16 * at)
    found += words("If in cloud:", 400, 100)
    found += words("Pitot heat", 40, 116) + words("on", 400, 116)
    last = read_page(found).guesses[-1].item
    assert (last.challenge, last.when) == ("Pitot heat", "in_cloud")


@pytest.mark.parametrize(
    ("written", "replies"),
    [
        ("24 V or more", ("24 V or more",)),
        ("2, 3 OR OFF", ("2", "3", "off")),
        ("SET, GUARDED OR OFF", ("set, guarded", "off")),
        ("EITHER UP OR 10", ("up", "10")),
        ("65 kt + gust", ("65 kt + gust",)),
        ("kg ____", ("{x}",)),
        ("____,__ kg", ("{x}",)),
        ("____, ____", ("{x_1}, {x_2}",)),
        ("0,15 \u2026 0,40 bar", ("0,15 \u2026 0,40 bar",)),
    ],
)
def test_values_and_choices_as_cards_write_them(written: str, replies: tuple[str, ...]) -> None:
    assert understand_response(written, "X", RIVALS).replies == replies


@pytest.mark.parametrize(
    ("line", "challenge", "reply", "who", "note"),
    [
        ("PM: Flaps \u2014 5", "Flaps", "5", "pilot-monitoring", ""),
        ("Canopy: locked (both latches)", "Canopy", "locked", "", "both latches"),
        ("Beacon: on (leave on)", "Beacon", "on (leave on)", "", ""),
        ("Mixture: leaned\u00b2", "Mixture", "leaned", "", ""),
        ("Radio .... ON [ ]", "Radio", "on", "", ""),
        ("Oil: 0,15 \u2026 0,40 bar", "Oil", "0,15 \u2026 0,40 bar", "", ""),
    ],
)
def test_marks_around_a_response(
    line: str, challenge: str, reply: str, who: str, note: str
) -> None:
    item = read_list_text(f"# Taxi\n{line}\n", RIVALS).guesses[0].item
    assert (item.challenge, item.responses, item.who, item.note) == (challenge, (reply,), who, note)


def spaced(text: str, gap: float, small: str = "") -> list[Letter]:
    """Return letters of a line, each ``gap`` after the one before; ``small`` ones are raised."""
    made, at = [], 0.0
    for sign in text:
        if sign == " ":
            at += 3.0
            continue
        box = Box(at, 0, at + 3, 6) if sign in small else Box(at, 0, at + 5, 10)
        made.append(Letter(sign, box, False, False))
        at = box.right + gap
    return made


@pytest.mark.parametrize("gap", [0.0, 0.5, 2.5])
def test_letters_set_apart_are_still_words(gap: float) -> None:
    texts = [word.text for word in letter_words(spaced("LANDING LIGHTS", gap))]
    assert texts == ["LANDING", "LIGHTS"]


def test_a_small_raised_number_is_a_footnote_mark() -> None:
    assert [w.text for w in letter_words(spaced("Leaned2", 0.0, small="2"))] == ["Leaned\u00b2"]


def test_lines_that_lead_to_responses_merge_nothing() -> None:
    found = words("TAXI", 40, 10, 16)
    rules = [Box(30, 40, 570, 41), Box(30, 150, 570, 151)]
    items = (("BRAKES", "SET"), ("LIGHTS", "ON"), ("FLAPS", "UP"), ("DOORS", "SHUT"))
    for at, (name, reply) in enumerate(items):
        top = 50 + 24 * at
        found += words(name, 40, top) + words(reply, 500, top)
        rules.append(Box(40 + 5 * len(name) + 3, top + 10, 496, top + 11))
    pairs = pairs_of(read_page(found, tuple(rules)))
    assert pairs == [(name.capitalize(), (reply.lower(),)) for name, reply in items]
