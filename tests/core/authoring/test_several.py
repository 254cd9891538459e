"""Several lists in one source: each by itself, each with its own values."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.several import list_titles, named_once, split_reading, told_apart
from callout.core.authoring.texts import read_list_text
from callout.core.formats.drafts import Draft, DraftItem, DraftSection

MANUAL = """HARROW FEN NORMAL PROCEDURES

BEFORE START CHECKLIST
Parking brake .... set
Altimeter .... ____ hPa set
BEFORE START CHECKLIST COMPLETE

LANDING CHECKLIST
CABIN
Belts .... fastened
Altimeter .... ____ hPa set
Gear .... down
LANDING CHECKLIST COMPLETE
"""


def test_each_list_stands_by_itself_with_its_sections_and_call() -> None:
    start, landing = split_reading(read_list_text(MANUAL, known_rivals()))
    assert (start.title, landing.title) == ("Before start", "Landing")
    assert [g.item.challenge for g in start.guesses] == ["Parking brake", "Altimeter"]
    assert [g.section for g in landing.guesses] == ["Cabin"] * 3
    assert start.completion_call == "before start checklist complete"
    assert landing.completion_call == "landing checklist complete"


def test_the_same_blank_in_two_lists_is_two_values() -> None:
    whole = told_apart(read_list_text(MANUAL, known_rivals()))
    start, landing = split_reading(whole)
    assert start.guesses[1].item.responses == ("{altimeter} set",)
    assert landing.guesses[1].item.responses == ("{landing_altimeter} set",)
    assert landing.guesses[1].blanks[0].words == "landing altimeter"
    assert told_apart(whole) == whole


@pytest.mark.parametrize(
    ("text", "titles"),
    [
        ("TAXI\nBrakes .... checked\n\nENGINE\nFlaps .... up\n", ("Taxi",)),
        ("TAXI\nBrakes .... checked\n\nDESCENT\nFlaps .... up\n", ("Taxi", "Descent")),
        ("TAXI\nBrakes .... checked\n\nTAXI (continued)\nFlaps .... up\n", ("Taxi",)),
        ("WATER\nFlaps .... up\nWATER CHECKLIST COMPLETE\n\nSLIPWAY\nRopes .... off\n",
         ("Water", "Slipway")),
    ],
)  # fmt: skip
def test_where_a_list_begins(text: str, titles: tuple[str, ...]) -> None:
    assert list_titles(read_list_text(text, known_rivals())) == titles


def test_what_is_asked_twice_is_told_apart_in_the_written_list() -> None:
    items = tuple(DraftItem("Starter", (state,)) for state in ("on", "off", "on"))
    made = named_once(Draft("Start", (DraftSection("", items),)))
    names = [item.challenge for item in made.items]
    assert names == ["Starter", "Starter again", "Starter, time 3"]
