"""Chances of a slip are told in classes, and each class says whether it came true."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.core.drill.history import Done, calibration_lines
from callout.core.drill.told_chance import TOLD, told_chance


@pytest.mark.parametrize(
    ("risk", "words"),
    [
        (0.0, "at most 1 in 10"),
        (0.0999, "at most 1 in 10"),
        (0.1, "about 1 in 7"),
        (0.2, "about 1 in 4"),
        (0.4, "more than 1 in 3"),
        (1.0, "more than 1 in 3"),
    ],
)
def test_the_words_for_a_risk(risk: float, words: str) -> None:
    assert told_chance(risk).words == words


@given(st.floats(0, 1), st.floats(0, 1))
def test_a_higher_risk_is_never_told_as_a_lower_one(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert TOLD.index(told_chance(low)) <= TOLD.index(told_chance(high))


def test_what_is_promised_leaves_no_gap() -> None:
    assert TOLD[0].least == 0
    assert all(a.most == b.least and a.below < b.below for a, b in pairwise(TOLD))


def drill(*foretold: tuple[float, bool]) -> Done:
    return Done("d", datetime(2031, 6, 1, tzinfo=UTC), len(foretold), 0, 5.0, foretold)


def test_each_class_is_held_against_what_happened() -> None:
    seldom = [(0.05, n < 2) for n in range(40)]
    likely = [(0.15, n < 15) for n in range(20)]
    (line,) = calibration_lines([drill(*seldom), drill(*likely)])
    assert "Where at most 1 in 10 was predicted, 2 of 40 went wrong (1 to 17 %; as predict" in line
    assert "about 1 in 7 was predicted, 15 of 20 went wrong (53 to 89 %; not as predict" in line


def test_few_exercises_say_nothing() -> None:
    assert calibration_lines([drill(*[(0.05, False)] * 29)]) == []
    (line,) = calibration_lines([drill(*[(0.05, False)] * 30, *[(0.5, True)] * 9)])
    assert "1 in 3" not in line, "nine are too few for a class of their own"
