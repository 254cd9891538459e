"""Reliability pictures: what is told and what is right, in tenths."""

from __future__ import annotations

import pytest

from callout.bench.acoustic.numbers import item
from callout.bench.acoustic.reliability import bins, calibration_error, picture
from callout.core.model.candidates import CandidateRole


def test_each_case_is_in_one_tenth() -> None:
    found = bins([0.05, 0.95, 0.97, 1.0], [False, True, False, True])
    assert [b.count for b in found] == [1, 3]
    assert found[1].told == pytest.approx((0.95 + 0.97 + 1.0) / 3)
    assert found[1].right == pytest.approx(2 / 3)


def test_the_error_is_the_mean_distance() -> None:
    """Worked out by hand after Guo et al., 2017, equation 3: (2 * 0.4 + 2 * 0.3) / 4."""
    found = bins([0.1, 0.1, 0.8, 0.8], [True, False, True, False])
    assert calibration_error(found) == pytest.approx(0.35)
    assert calibration_error(bins([0.0, 1.0], [False, True])) == 0.0
    assert calibration_error([]) == 0.0


def test_the_picture_says_how_many() -> None:
    lines = list(picture("clean", [0.05, 0.95], [False, True]))
    assert lines[0] == "clean: 2 cases, expected calibration error 0.050"
    assert len(lines) == 3


def test_a_number_one_digit_off_is_told_apart() -> None:
    at = item("heading two seven zero").candidates
    assert at[0].role is CandidateRole.ACCEPTED
    assert any("heading two six zero" in c.forms for c in at[1:])
