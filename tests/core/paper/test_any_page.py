"""Whatever strokes, boxes and marks a picture shows, a page is read: nothing stops the reader."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.reading import read_rows
from callout.core.paper.page import Box, Page, Word
from callout.core.weighing.choosing import best_rows

RIVALS = known_rivals()
TEXTS = ("Fuel", "ON", "____", "......", "....", "R", "L", "[", "]", "\u25a1", "kt", "5", "Ib", "o",
         "-", "QNH", "set,", "Brakes", "TAXI", ":", "from", "C", "210")  # fmt: skip
PLACES = st.tuples(st.integers(0, 11), st.integers(0, 13))


def word(place: tuple[int, int], text: str, sure: float) -> Word:
    left, top = 30.0 + 48 * place[0], 30.0 + 17 * place[1]
    return Word(text, Box(left, top, left + 7.0 * len(text), top + 12), sure)


def level(place: tuple[int, int], length: int) -> Box:
    left, y = 25.0 + 48 * place[0], 26.0 + 17 * place[1]
    return Box(left, y, left + length, y + 1)


def upright(place: tuple[int, int], length: int) -> Box:
    left, top = 25.0 + 48 * place[0], 26.0 + 17 * place[1]
    return Box(left, top, left + 1, top + length)


WORDS = st.lists(st.builds(word, PLACES, st.sampled_from(TEXTS), st.sampled_from([0.97, 1.0])),
                 min_size=1, max_size=40)  # fmt: skip
LEVEL = st.builds(level, PLACES, st.sampled_from([18, 40, 96, 500]))
UPRIGHT = st.builds(upright, PLACES, st.sampled_from([17, 34, 200]))
FRAME = st.builds(lambda p, w: Box(*_corner(p), _corner(p)[0] + w, _corner(p)[1] + 15), PLACES,
                  st.sampled_from([12, 30, 90]))  # fmt: skip


def _corner(place: tuple[int, int]) -> tuple[float, float]:
    return 27.0 + 48 * place[0], 28.0 + 17 * place[1]


@settings(deadline=None, max_examples=40)
@given(WORDS, st.lists(LEVEL | UPRIGHT, max_size=25), st.lists(LEVEL, max_size=8),
       st.lists(FRAME, max_size=6))  # fmt: skip
def test_a_page_of_any_marks_is_read(
    words: list[Word], strokes: list[Box], faint: list[Box], frames: list[Box]
) -> None:
    page = Page(1, 640, 300, tuple(words), tuple(strokes), tuple(frames), tuple(faint))
    rows = best_rows((page,), RIVALS)
    assert all(row.cells for row in rows)
    read_rows(rows, RIVALS)


def test_a_row_of_marks_alone_between_two_rules_is_no_item() -> None:
    words = [word((0, at), text, 0.97) for at, text in enumerate(("Oil", "Fuel", "Trim", "Doors"))]
    words += [word((5, at), "......", 0.97) for at in range(4)]
    words.append(word((0, 4), "......", 0.97))
    rules = tuple(level((0, at), 500) for at in (0, 1, 2, 3, 5))
    rows = best_rows((Page(1, 640, 300, tuple(words), rules),), RIVALS)
    assert all(row.cells for row in rows)
