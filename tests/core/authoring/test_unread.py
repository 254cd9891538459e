"""Ink that the reader of letters dropped is asked about, beside its item or alone."""

from __future__ import annotations

from callout.core.authoring.asking import questions_of
from callout.core.authoring.guesses import Doubt
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.authoring.unread import with_unread
from callout.core.paper.page import Box, Page, Word


def _page(unread: tuple[Box, ...]) -> Page:
    words = (
        Word("Batteries", Box(10, 10, 70, 20), 0.99),
        Word("____", Box(140, 10, 170, 20), 0.99),
        Word("Beacon", Box(10, 30, 60, 40), 0.99),
        Word("ON", Box(140, 30, 160, 40), 0.99),
    )
    return Page(1, 200, 200, words, unread=unread)


def test_ink_beside_an_item_is_asked_about_there_and_ink_beside_none_is_shown() -> None:
    page = _page((Box(115, 11, 130, 20), Box(60, 150, 90, 160)))
    found = with_unread(read_rows(page_rows(page), {}), (page,))
    beside = next(g for g in found.guesses if g.item.challenge == "Batteries")
    other = next(g for g in found.guesses if g.item.challenge == "Beacon")
    assert Doubt.UNREAD in beside.doubts
    assert Doubt.UNREAD not in other.doubts
    assert beside.origin.box is not None
    assert beside.origin.box.left <= 10
    assert any("could not be read" in question.text for question in questions_of(beside))
    assert [out.origin.box for out in found.not_placed] == [Box(60, 150, 90, 160)]


def test_a_page_whose_ink_was_all_read_is_as_it_was() -> None:
    page = _page(())
    reading = read_rows(page_rows(page), {})
    assert with_unread(reading, (page,)) == reading
