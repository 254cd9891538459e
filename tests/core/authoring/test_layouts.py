"""Layouts in which a challenge is parted from its response by something other than dots."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.asking import answer_question
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import Doubt
from callout.core.authoring.responses import understand_response
from callout.core.authoring.rows import page_rows
from callout.core.authoring.texts import read_list_text
from callout.core.paper.page import Box, Page
from tests.core.authoring.test_pages import pairs_of, read_page, words

RIVALS = known_rivals()


def test_a_response_under_its_challenge_belongs_to_it() -> None:
    found = words("BEFORE START", 200, 20, 16) + words("OUTSIDE", 40, 50)
    top = 66.0
    for challenge, response in (
        ("Walk-round", "Complete"), ("Oil quantity", "____ qt"), ("Fuel tap", "Left or right"),
        ("Trim", "Neutral"),
    ):  # fmt: skip
        found += words(challenge, 40, top) + words(response, 80, top + 14)
        top += 34
    reading = read_page(found)
    assert pairs_of(reading) == [
        ("Walk-round", ("complete",)),
        ("Oil quantity", ("{oil_quantity}",)),
        ("Fuel tap", ("left", "right")),
        ("Trim", ("neutral",)),
    ]
    assert reading.guesses[0].section == "Outside"
    assert "Walk-round" in reading.guesses[0].origin.text
    assert "Complete" in reading.guesses[0].origin.text


def test_a_few_lines_that_are_set_in_only_go_on_with_others() -> None:
    found = words("TAXI", 200, 20, 16)
    for at, name in enumerate(("BRAKES", "FLAPS", "LIGHTS", "TRIM", "DOORS", "RADIO")):
        found += words(name, 40, 60 + 32 * at) + words("CHECKED AND", 300, 60 + 32 * at)
        if at < 2:
            found += words("SET", 300, 60 + 32 * at + 13)
    replies = [replies for _, replies in pairs_of(read_page(found))]
    assert replies[:3] == [("checked and set",), ("checked and set",), ("checked and",)]


@pytest.mark.parametrize(
    ("line", "pair"),
    [
        ("FUEL \u00bb OTHER TANK", ("Fuel", ("other tank",))),
        ("FUEL >> OTHER TANK", ("Fuel", ("other tank",))),
        ("FUEL \u25ba OTHER TANK", ("Fuel", ("other tank",))),
        ("FUEL ~ ~ ~ ~ ~ ~ ON", ("Fuel", ("on",))),
        ("viii. FUEL .... ON", ("Fuel", ("on",))),
        ("IV. FUEL .... ON", ("Fuel", ("on",))),
        ("FUEL .... ON \u25a1", ("Fuel", ("on",))),
    ],
)
def test_marks_between_before_and_after(line: str, pair: tuple[str, tuple[str, ...]]) -> None:
    assert pairs_of(read_list_text(f"# Taxi\n{line}\n", RIVALS)) == [pair]


@pytest.mark.parametrize(
    ("written", "reply"),
    [
        ("____ SELECTED, ____ INDICATED", "{x_1} selected, {x_2} indicated"),
        ("FROM ____ AT ____ KT", "from {x_1} at {x_2}"),
        ("____ KG / CI ____", "{x_1}, CI {x_2}"),
        ("____ ____ SET", "{x_1}, {x_2} set"),
        ("L ____ AND R ____", "left {x_left}, right {x_right}"),
    ],
)
def test_words_between_two_blanks_stay_with_their_own(written: str, reply: str) -> None:
    assert understand_response(written, "X", RIVALS).replies == (reply,)


def test_what_stands_above_the_title_or_far_below_the_list_is_no_item() -> None:
    found = words("ORWICK VALLEY", 40, 20) + words("CHECKS", 500, 20)
    found += words("POWER CHECKS", 200, 46, 16)
    for at, name in enumerate(("BRAKES", "MIXTURE", "IDLE")):
        found += words(name, 40, 90 + 16 * at) + words("SET", 300, 90 + 16 * at)
    found += words("K2", 40, 770) + words("issue b", 500, 770)
    page = Page(1, 600, 800, tuple(found))
    kept, out = leave_out_furniture((page,), page_rows(page))
    assert [row.origin.text for row in out] == ["ORWICK VALLEY CHECKS", "K2 issue b"]
    assert len(kept) == 4


def test_an_item_above_the_foot_of_a_full_page_stays() -> None:
    found = words("TAXI", 200, 20, 16)
    for at in range(46):
        found += words(f"ITEM {at}", 40, 50 + 16 * at) + words("SET", 300, 50 + 16 * at)
    page = Page(1, 600, 800, tuple(found))
    kept, out = leave_out_furniture((page,), page_rows(page))
    assert not out
    assert len(kept) == 47


def test_lines_with_bullets_between_two_rules_are_several_items() -> None:
    found = words("TAXI", 40, 10, 16)
    strokes = []
    for block in range(3):
        top = 50 + 60 * block
        strokes += [Box(30, top - 6, 560, top - 5), Box(30, top + 50, 560, top + 51)]
        for at in range(3):
            found += words(f"\u2022 ITEM{block}{at} \u00bb ON", 40, top + 13 * at)
    assert len(pairs_of(read_page(found, tuple(strokes)))) == 9


@pytest.mark.parametrize(
    ("answer", "replies"),
    [("both", ("{xpdr_code}, on",)), ("either", ("{xpdr_code}", "on")), ("", ("{xpdr_code}, on",))],
)
def test_the_answer_about_a_slash_keeps_the_value(answer: str, replies: tuple[str, ...]) -> None:
    reading = read_list_text("# Taxi\nXPDR CODE .... ____ / ON\n", RIVALS)
    assert Doubt.SLASH in reading.guesses[0].doubts
    answered = answer_question(reading, 0, Doubt.SLASH, answer, RIVALS).guesses[0]
    assert answered.item.responses == replies
    assert [blank.name for blank in answered.blanks] == ["xpdr_code"]
