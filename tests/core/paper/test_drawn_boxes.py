"""Boxes whose sides are drawn one by one, lines for notes, and lines that lead to a response."""

from __future__ import annotations

from dataclasses import replace

from callout.core.authoring.rows import page_rows
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Box, Page, Word
from tests.core.authoring.test_pages import words


def cells_of(
    found: list[Word], strokes: list[Box], frames: list[Box] | None = None
) -> list[list[str]]:
    page = Page(1, 600, 800, tuple(found), tuple(strokes), tuple(frames or ()))
    return [[cell.text for cell in row.cells] for row in page_rows(page)]


def sides(left: float, top: float, right: float, bottom: float) -> list[Box]:
    level = [Box(left, y, right, y + 0.5) for y in (top, bottom)]
    return [*level, *(Box(x, top, x + 0.5, bottom) for x in (left, right))]


LINES = ("Oil", "Fuel on board", "Trim", "Passengers", "Baggage", "Doors")


def form() -> list[Word]:
    return [word for at, text in enumerate(LINES) for word in words(text, 40, 40 + 30 * at)]


def test_a_box_of_four_strokes_is_one_blank() -> None:
    strokes = [
        side for at in range(len(LINES)) for side in sides(200, 37 + 30 * at, 260, 53 + 30 * at)
    ]
    assert cells_of(form(), strokes) == [[text, BLANK] for text in LINES]


def test_a_field_for_each_letter_is_one_blank() -> None:
    strokes, frames = [], []
    for at in range(len(LINES)):
        top, bottom = 37.0 + 30 * at, 53.0 + 30 * at
        strokes += [Box(200, y, 214, y + 0.5) for y in (top, bottom)]
        strokes += [Box(214, y, 228, y + 0.5) for y in (top, bottom)]
        strokes += [Box(x, top, x + 0.5, bottom) for x in (200, 214)]
        frames.append(Box(228, top, 242, bottom))
    assert cells_of(form(), strokes, frames) == [[text, BLANK] for text in LINES]


def test_a_box_around_words_is_no_blank() -> None:
    found = [*form(), *words("FULL", 205, 40)]
    assert cells_of(found, sides(200, 37, 260, 53))[0] == ["Oil", "FULL"]


def test_lines_for_notes_beside_a_list_are_no_blanks() -> None:
    notes = [Box(300, 30 + 23.0 * at, 420, 30.5 + 23.0 * at) for at in range(9)]
    assert cells_of(form(), notes) == [[text] for text in LINES]


def test_even_strokes_at_the_foot_of_each_line_are_blanks() -> None:
    strokes = [Box(300, 50 + 30.0 * at, 380, 50.5 + 30.0 * at) for at in range(len(LINES))]
    assert cells_of(form(), strokes) == [[text, BLANK] for text in LINES]


def right(text: str, end: float, top: float) -> list[Word]:
    made = words(text, 0, top)
    shift = end - made[-1].box.right
    return [
        Word(w.text, Box(w.box.left + shift, top, w.box.right + shift, w.box.bottom)) for w in made
    ]


def test_strokes_that_fill_each_line_lead_to_its_response() -> None:
    pairs = [("Oil", "4 QT"), ("Fuel cock", "ON"), ("Trim", "NEUTRAL"), ("Door", "LATCHED"),
             ("Altimeter subscale", "SET")]  # fmt: skip
    found: list[Word] = []
    strokes = []
    for at, (challenge, response) in enumerate(pairs):
        top = 40.0 + 16 * at
        one, two = words(challenge, 40, top), right(response, 220, top)
        found += [*one, *two]
        strokes.append(Box(one[-1].box.right + 4, top + 10, two[0].box.left - 4, top + 10.4))
    assert cells_of(found, strokes) == [list(pair) for pair in pairs]


def test_small_squares_between_positions_are_boxes_to_tick() -> None:
    found = [*words("Surface", 40, 40), *words("calm", 216, 40), *words("rough", 270, 40)]
    squares = [Box(204, 41, 212, 49), Box(258, 41, 266, 49)]
    assert cells_of(found, [], squares) == [["Surface", "\u25a1 calm \u25a1 rough"]]


def test_a_short_underscore_a_little_above_the_foot_of_its_line_is_a_blank() -> None:
    """On a photograph the boxes of words are taller than letters, and lines are not quite level."""
    taken = [replace(word, sure=0.95) for word in form()]
    usual = taken[0].box.height
    foot = taken[0].box.bottom - 0.36 * usual
    row = cells_of(taken, [Box(150, foot, 150 + 1.2 * usual, foot + 0.2)])[0]
    dash = taken[0].box.bottom - 0.55 * usual
    assert row == ["Oil", BLANK]
    assert cells_of(taken, [Box(150, dash, 150 + 1.2 * usual, dash + 0.2)])[0] == ["Oil"]
