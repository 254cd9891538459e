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


@pytest.mark.parametrize("parts", [("RWY", "27"), ("VOR", "1"), ("V", "1"), ("Magn", "etos")])
def test_codes_and_parts_that_are_no_words_stay_whole(parts: tuple[str, ...]) -> None:
    assert _read_as_one(parts, 10) == ["".join(parts)]


@pytest.mark.parametrize("parts", [("every", "5"), ("MAX", "5"), ("COM", "2"), ("ABOVE", "-15")])
def test_a_number_that_a_gap_divides_from_a_known_word_stands_apart(parts: tuple[str, ...]) -> None:
    assert _read_as_one(parts, 10) == list(parts)
    assert _read_as_one(parts, 0) == ["".join(parts)]


def _texts(*words: Word) -> str:
    return " ".join(w.text for w in spaced_words(words, np.full((60, 600), 245, np.uint8)))


def _set(*parts: str, gap: float = 12.0) -> tuple[Word, ...]:
    left, made = 10.0, []
    for part in parts:
        made.append(Word(part, Box(left, 10, left + 14 * len(part), 40), 0.9))
        left += 14 * len(part) + gap
    return tuple(made)


def test_spaces_beside_signs_are_put_back() -> None:
    assert _texts(*_set("LOCKED,2")) == "LOCKED, 2"
    assert _texts(*_set("V2+", "10")) == "V2 + 10"
    assert _texts(*_set("85 \u00b0C\u00b15")) == "85 \u00b0C \u00b1 5"
    assert _texts(*_set("1,800", "rpm")) == "1,800 rpm"


def test_a_capital_set_far_from_its_word_joins_it() -> None:
    assert _texts(*_set("BOTH", "M", "AIN", "W", "HEELS")) == "BOTH MAIN WHEELS"
    assert _texts(*_set("TANK", "A", "LIVE")) == "TANK A LIVE"
    assert _texts(*_set("BOTH", "M", "AIN", gap=25.0)) == "BOTH M AIN"
