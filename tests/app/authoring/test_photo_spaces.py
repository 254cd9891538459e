"""A space that the letter reader did not see is put back only where the picture shows one."""

from __future__ import annotations

import numpy as np
import pytest

from callout.app.authoring.photo_spaces import spaced_words
from callout.core.paper.page import Box, Word

cv2 = pytest.importorskip("cv2")


def _read_as_one(parts: tuple[str, ...], gap: int) -> list[str]:
    """Draw ``parts`` with a gap between them, and return the words found in one box."""
    grey = np.full((60, 600), 245, np.uint8)
    x = 20
    for part in parts:
        cv2.putText(grey, part, (x, 40), cv2.FONT_HERSHEY_SIMPLEX, 0.9, 20, 2)
        x += cv2.getTextSize(part, cv2.FONT_HERSHEY_SIMPLEX, 0.9, 2)[0][0] + gap
    word = Word("".join(parts), Box(20, 15, x - gap, 45), 0.9)
    return [found.text for found in spaced_words((word,), grey)]


@pytest.mark.parametrize("parts", [("above", "3500"), ("Fuel", "remaining"), ("LANDING", "LIGHTS")])
def test_a_gap_in_the_picture_divides_two_words(parts: tuple[str, ...]) -> None:
    assert _read_as_one(parts, 10) == list(parts)


@pytest.mark.parametrize("parts", [("above", "3500"), ("Fuel", "remaining"), ("Cross", "feed")])
def test_without_a_gap_a_word_stays_whole(parts: tuple[str, ...]) -> None:
    assert _read_as_one(parts, 0) == ["".join(parts)]


@pytest.mark.parametrize("parts", [("RWY", "27"), ("COM", "2"), ("V", "1"), ("Magn", "etos")])
def test_codes_and_parts_that_are_no_words_stay_whole(parts: tuple[str, ...]) -> None:
    assert _read_as_one(parts, 10) == ["".join(parts)]
