"""Boxes to write in, in small pictures made here."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

pytest.importorskip("cv2")

import cv2

from callout.app.authoring.photo_frames import boxed
from callout.core.paper.page import Box, Word

TOP, BOTTOM = Box(300, 99, 420, 101), Box(300, 139, 420, 141)
LETTER = 34.0


def drawn(upright: bool = True) -> Any:
    page = np.full((300, 700, 3), 250, np.uint8)
    cv2.putText(page, "Fuel on board", (40, 130), cv2.FONT_HERSHEY_SIMPLEX, 0.9, (40, 40, 40), 2)
    for y in (100, 140):
        cv2.line(page, (300, y), (420, y), (90, 90, 90), 2)
    for x in (300, 420) if upright else ():
        cv2.line(page, (x, 100), (x, 140), (90, 90, 90), 2)
    return page


def test_two_strokes_with_upright_sides_are_a_box() -> None:
    boxes, rest = boxed(drawn(), [TOP, BOTTOM], [], LETTER)
    assert boxes == [Box(300, 100, 420, 140)]
    assert rest == []


def test_two_lines_to_write_on_stay_two_strokes() -> None:
    boxes, rest = boxed(drawn(upright=False), [TOP, BOTTOM], [], LETTER)
    assert boxes == []
    assert rest == [TOP, BOTTOM]


def test_a_frame_around_a_word_is_no_box() -> None:
    word = Word("FULL", Box(330, 105, 390, 135), 0.97)
    assert boxed(drawn(), [TOP, BOTTOM], [word], LETTER) == ([], [TOP, BOTTOM])


def test_strokes_of_other_lengths_are_no_box() -> None:
    longer = Box(300, 139, 600, 141)
    assert boxed(drawn(), [TOP, longer], [], LETTER)[0] == []


def test_the_gap_between_two_boxes_is_part_of_neither() -> None:
    page = np.full((300, 700, 3), 250, np.uint8)
    strokes = [Box(300, y - 1, 420, y + 1) for y in (100, 140, 152, 192)]
    for top in (100, 152):
        cv2.rectangle(page, (300, top), (420, top + 40), (90, 90, 90), 2)
    boxes, _ = boxed(page, strokes, [], LETTER)
    assert boxes == [Box(300, 100, 420, 140), Box(300, 152, 420, 192)]
