"""Forms: cells like those beside them, and the lines of items under the cells."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.guesses import Reading
from callout.core.authoring.reading import read_rows
from callout.core.paper.page import Box, Page, Word
from callout.core.weighing.choosing import best_rows
from tests.core.authoring.test_pages import pairs_of, words

RIVALS = known_rivals()
CELLS = (
    ("Runway", "____"), ("Wind", "____ kt"), ("QNH", "____ hPa"), ("Squawk", "____"),
    ("Fuel", "____ kg"), ("Trim", "____ %"), ("Mass", "____ kg"),
)  # fmt: skip


def _form(*more: tuple[str, str], below: list[Word] | None = None) -> Reading:
    found: list[Word] = []
    strokes: list[Box] = []
    for at, (name, value) in enumerate((*CELLS, *more)):
        left, top = 20 + 120.0 * (at % 4), 60 + 40.0 * (at // 4)
        found += words(name, left + 4, top + 3) + words(value, left + 60, top + 25)
        strokes += [
            Box(left, top, left + 120, top), Box(left, top + 40, left + 120, top + 40),
            Box(left, top, left, top + 40), Box(left + 120, top, left + 120, top + 40),
        ]  # fmt: skip
    page = Page(1, 520.0, 700.0, tuple(found + (below or [])), tuple(strokes))
    return read_rows(best_rows([page], RIVALS), RIVALS)


@pytest.mark.parametrize(
    ("name", "value", "replies"),
    [
        ("First level", "FL ____", ("FL {first_level}",)),
        ("Left turn", "____", ("{left_turn}",)),
        ("State", "DRY or WET", ("DRY", "WET")),
        ("Hoist", "stowed", ("stowed",)),
    ],
)
def test_a_cell_among_others_of_a_form_is_an_item(
    name: str, value: str, replies: tuple[str, ...]
) -> None:
    pairs = dict(pairs_of(_form((name, value))))
    assert len(pairs) == len(CELLS) + 1
    assert pairs[name] == replies


def test_words_in_a_cell_beside_the_form_are_no_item_without_a_value() -> None:
    names = [name for name, _ in pairs_of(_form(("Issued", "by the tower office")))]
    assert "Issued" not in names


def test_items_with_a_box_to_tick_under_a_form_stay_whole() -> None:
    below = words("\u25a1 Papers: aboard", 20, 300) + words("\u25a1 Bugs: set by both", 200, 300)
    pairs = dict(pairs_of(_form(below=below)))
    assert pairs["Papers"] == ("aboard",)
    assert pairs["Bugs"] == ("set by both",)
