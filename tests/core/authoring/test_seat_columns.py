"""A table with a column for each pilot: the reply stands in that of the one who answers."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.reading import read_rows
from callout.core.authoring.responses import understand_response
from callout.core.paper.page import Page, Word
from callout.core.weighing.choosing import best_rows
from tests.core.authoring.test_pages import words

RIVALS = known_rivals()


def _table(heads: tuple[str, str, str]) -> list[Word]:
    first, second, third = heads
    found = words(first, 40, 20) + words(second, 220, 20) + words(third, 400, 20)
    for at, (name, left, right) in enumerate((
        ("Tech log", "SIGNED", ""), ("Doors", "", "CLOSED"), ("Fuel", "", "____ KG"),
        ("Flaps", "", "0"), ("Propellers", "LEFT CLEAR", "RIGHT CLEAR"), ("Brake", "SET", ""),
    )):  # fmt: skip
        top = 40 + 20 * at
        found += words(name, 40, top)
        found += words(left, 220, top) if left else []
        found += words(right, 400, top) if right else []
    return found


@pytest.mark.parametrize(
    "heads",
    [
        ("READ BY THE ONE NOT FLYING", "LEFT SEAT", "RIGHT SEAT"),
        ("Called out", "PF", "PM"),
        ("SUBJECT OF THE CALL", "CAPT", "FO"),
    ],
)
def test_who_answers_is_told_by_the_column(heads: tuple[str, str, str]) -> None:
    page = Page(1, 560.0, 700.0, tuple(_table(heads)))
    reading = read_rows(best_rows([page], RIVALS), RIVALS)
    told = {g.item.challenge: (g.item.responses, g.item.who) for g in reading.guesses}
    left, right = (told[name][1] for name in ("Tech log", "Doors"))
    assert left
    assert right
    assert left != right
    assert told["Flaps"] == (("0",), right)
    assert told["Brake"] == (("set",), left)
    assert told["Propellers"] == (("left clear, right clear",), "both")
    assert set(told) == {"Tech log", "Doors", "Fuel", "Flaps", "Propellers", "Brake"}


def test_a_reply_in_the_middle_of_both_columns_is_for_both() -> None:
    found = _table(("Called out", "LEFT SEAT", "RIGHT SEAT"))
    found += words("QNH ____ COMPARED", 300, 160)
    found += words("Altimeters", 40, 160)
    page = Page(1, 560.0, 700.0, tuple(found))
    reading = read_rows(best_rows([page], RIVALS), RIVALS)
    last = reading.guesses[-1]
    assert (last.item.challenge, last.item.who, len(last.blanks)) == ("Altimeters", "both", 1)


def test_a_mode_with_a_slash_in_its_name_is_one_part_of_a_reply() -> None:
    """The mode of a transponder that a collision avoidance system names: common practice."""
    meant = understand_response("____, TA/RA", "Transponder", RIVALS)
    assert meant.replies == ("{transponder}, ta/ra",)
    assert not meant.doubts
