"""Letters of a word that the items spell, and whole items within the cells of a column."""

from __future__ import annotations

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.paper.page import Page, Word
from callout.core.weighing.cell_items import ways_of_cells
from callout.core.weighing.choosing import best_rows
from tests.core.authoring.test_pages import pairs_of, words

RIVALS = known_rivals()


def test_a_letter_of_a_spelt_word_may_stand_for_two_items() -> None:
    lines = (
        ("H", "Height", "safe"), ("A", "Airframe", "clean"), ("S", "Security", "checked"),
        ("E", "Engine", "green"), ("E", "Carb heat", "hot"), ("L", "Lookout", "clear"),
    )  # fmt: skip
    found: list[Word] = words("STALLS", 40, 10, 16)
    for at, (letter, name, said) in enumerate(lines):
        found += words(letter, 40, 50 + 20 * at) + words(name, 80, 50 + 20 * at)
        found += words(said, 300, 50 + 20 * at)
    read = read_rows(best_rows([Page(1, 600, 800, tuple(found))], RIVALS), RIVALS)
    assert pairs_of(read) == [(name, (said,)) for _, name, said in lines]


def _column(replies: tuple[str, ...]) -> Page:
    found: list[Word] = []
    for at, said in enumerate(replies):
        found += words(f"Item {at} here", 40, 50 + 20 * at) + words(said, 300, 50 + 20 * at)
    return Page(1, 600, 800, tuple(found))


def test_replies_with_a_value_among_others_are_no_items_by_themselves() -> None:
    values = ("letter ____", "not below ____ ft", "checked at ____ nm", "height ____ ft")
    assert list(ways_of_cells(page_rows(_column((*values, *["set"] * 9))))) == []
    whole = tuple(f"Lever {at}: up" for at in range(6))
    assert len(list(ways_of_cells(page_rows(_column(whole))))) == 1
