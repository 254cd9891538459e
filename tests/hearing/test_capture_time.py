"""When samples were captured, through resampling and whenever they are taken."""

from __future__ import annotations

import time
from types import SimpleNamespace

import pytest

from callout.hearing.capture_time import CaptureTime, captured_at


def test_samples_are_dated_back_from_the_end_of_what_the_device_gave() -> None:
    times = CaptureTime(48_000)
    times.taken(4_800, 10.0)  # a tenth of a second, to 10.0: 1,600 samples at 16 kHz
    assert times.given(512) == pytest.approx(9.932)
    assert times.given(512) == pytest.approx(9.964)
    times.taken(4_800, 10.1)
    assert times.given(512) == pytest.approx(9.996)


def test_a_stall_of_the_device_moves_what_comes_after_it() -> None:
    times = CaptureTime(16_000)
    times.taken(512, 1.0)
    assert times.given(512) == pytest.approx(1.0)
    times.taken(512, 4.0)
    assert times.given(512) == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("adc", "current", "lag"),
    [(5.0, 5.3, 0.2), (5.0, 5.1, 0.0), (0.0, 5.3, 0.0), (5.0, 5.0, 0.0), (5.0, 60.0, 0.0)],
)
def test_what_the_device_says_counts_only_where_it_can_be_true(
    adc: float, current: float, lag: float
) -> None:
    when = SimpleNamespace(inputBufferAdcTime=adc, currentTime=current)
    before = time.monotonic()
    at = captured_at(when, 1_600, 16_000)
    assert before - lag <= at <= time.monotonic() - lag
    assert before <= captured_at(object(), 1_600, 16_000) <= time.monotonic()
