"""Dots and strokes in small pictures made here: leaders, blanks, and what only looks like them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import pytest

pytest.importorskip("cv2")

import cv2

from callout.app.authoring.photo_dots import FEWEST, dot_rows, without_dots
from callout.app.authoring.photo_strokes import Stroke, level_strokes


def lettered(*lines: str, height: int = 60) -> Any:
    """Return a white page with a line of text every ``height`` pixels, as grey as toner."""
    page = np.full((height * (len(lines) + 1), 900, 3), 250, np.uint8)
    for at, text in enumerate(lines, start=1):
        cv2.putText(page, text, (40, height * at), cv2.FONT_HERSHEY_SIMPLEX, 0.9, (40, 40, 40), 2,
                    cv2.LINE_AA)  # fmt: skip
    return page


def dotted(page: Any, y: int, start: int, end: int, step: int, tilt: float = 0.0) -> Any:
    for x in range(start, end, step):
        cv2.circle(page, (x, round(y + tilt * (x - start))), 2, (60, 60, 60), -1, cv2.LINE_AA)
    return page


CARD = ("PARKING BRAKE", "MASTER SWITCH", "FUEL SELECTOR")


@pytest.mark.parametrize("step", [9, 14, 20])
@pytest.mark.parametrize("tilt", [0.0, 0.04, -0.03])
def test_a_row_of_dots_is_a_leader_and_is_hidden(step: int, tilt: float) -> None:
    page = dotted(lettered(*CARD), 118, 320, 760, step, tilt)
    rows, mask = dot_rows(page)
    assert len(rows) == 1
    (x0, _), (x1, _) = rows[0].dots[0], rows[0].dots[-1]
    assert abs(x0 - 320) < 4
    assert x1 > 740 - step
    hidden = without_dots(page, mask)
    assert hidden[100:140, 330:750].min() > 200
    assert np.array_equal(hidden[:, :290], page[:, :290])


def test_dots_too_faint_to_be_seen_do_not_end_a_leader() -> None:
    page = lettered(*CARD)
    for x in [*range(330, 520, 10), *range(540, 760, 10)]:  # two are missing
        cv2.circle(page, (x, 118), 2, (60, 60, 60), -1, cv2.LINE_AA)
    assert len(dot_rows(page)[0]) == 1


@pytest.mark.parametrize("text", ["WAIT ... THEN GO", "a. b. c. d.", "1.5 2.5 3.5 i i i i i"])
def test_a_text_with_full_stops_has_no_leader(text: str) -> None:
    assert FEWEST > 3
    assert not dot_rows(lettered(*CARD, text))[0]


def test_an_empty_page_has_none() -> None:
    rows, mask = dot_rows(lettered())
    assert not rows
    assert not mask.any()


def beside_letters(strokes: Iterable[Stroke]) -> list[tuple[int, int]]:
    """Return where strokes right of the letters begin and end, to ten pixels."""
    return sorted((round(s[0], -1), round(s[2], -1)) for s in strokes if s[0] > 310)


def test_a_blank_beside_a_line_that_leads_to_it_is_a_stroke_of_its_own() -> None:
    page = lettered(*CARD)
    cv2.line(page, (320, 120), (600, 120), (60, 60, 60), 2)
    cv2.line(page, (608, 120), (700, 120), (60, 60, 60), 2)
    assert beside_letters(level_strokes(page, 20.0).drawn) == [(320, 600), (610, 700)]


def test_a_stroke_that_can_hardly_be_seen_is_faint_and_not_dropped() -> None:
    page = lettered(*CARD)
    cv2.line(page, (320, 120), (420, 120), (205, 205, 205), 2)
    found = level_strokes(page, 20.0)
    assert not beside_letters(found.drawn)
    assert beside_letters(found.faint) == [(320, 420)]


def test_the_edge_of_a_shaded_row_is_no_stroke() -> None:
    page = lettered(*CARD)
    page[90:140, 320:] -= 30
    found = level_strokes(page, 20.0)
    assert not beside_letters((*found.drawn, *found.faint))


@pytest.mark.parametrize("apart", [5, 12])
def test_a_page_full_of_dots_is_given_up_and_not_searched_for_ever(apart: int) -> None:
    page = np.full((1500, 2200, 3), 250, np.uint8)
    page[::apart, ::apart] = 40
    page[1::apart, ::apart] = 40
    cv2.putText(page, "PARKING BRAKE SET", (40, 60), cv2.FONT_HERSHEY_SIMPLEX, 0.9, (0, 0, 0), 2)
    rows, mask = dot_rows(page)
    assert not rows
    assert not mask.any()


def test_a_leader_ends_where_letters_stand_before_the_next_dot() -> None:
    page = dotted(lettered(*CARD), 118, 320, 600, 14)
    for text, x in (("2", 625), ("1", 656)):
        cv2.putText(page, text, (x, 120), cv2.FONT_HERSHEY_SIMPLEX, 0.9, (40, 40, 40), 2)
    cv2.circle(page, (649, 118), 2, (60, 60, 60), -1, cv2.LINE_AA)  # the point of 2.1
    (row,), mask = dot_rows(page)
    assert row.dots[-1][0] < 605
    assert not mask[:, 620:].any()
