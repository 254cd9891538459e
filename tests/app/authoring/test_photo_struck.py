"""A stroke through all digits of a number in a picture, and what is none."""

from __future__ import annotations

import numpy as np
import pytest

from callout.app.authoring.photo_struck import with_struck
from callout.core.paper.page import Box, Word

cv2 = pytest.importorskip("cv2")


def _is_struck(text: str, strokes: tuple[tuple[int, int, int], ...] = (), slope: int = 0) -> bool:
    """Draw ``text``, and strokes (left, right, height of each); say whether it is struck out."""
    grey = np.full((80, 300), 245, np.uint8)
    cv2.putText(grey, text, (20, 50), cv2.FONT_HERSHEY_SIMPLEX, 1.0, 40, 2, cv2.LINE_AA)
    (wide, high), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, 1.0, 2)
    for left, right, y in strokes:
        cv2.line(grey, (left, y), (right, y + slope), 60, 2, cv2.LINE_AA)
    word = Word(text, Box(18, 50 - high - 4, 22 + wide, 56), 0.97)
    return next(with_struck([word], grey)).struck


@pytest.mark.parametrize("text", ["55", "122.8", "10", "118", "1013"])
def test_a_stroke_through_a_number_is_seen(text: str) -> None:
    assert not _is_struck(text)
    assert _is_struck(text, ((14, 130, 40),), slope=1)


def test_strokes_under_a_number_or_through_a_part_of_it_strike_out_nothing() -> None:
    assert not _is_struck("55", ((14, 130, 55),))
    assert not _is_struck("1013", ((14, 55, 40),))


def test_words_and_single_digits_are_never_struck_out() -> None:
    assert not _is_struck("OFF", ((14, 130, 40),))
    assert not _is_struck("7", ((14, 60, 40),))
