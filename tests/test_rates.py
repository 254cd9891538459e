"""Sound at another rate: what may pass passes, what may not is gone, in pieces as in one."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.rates import Floats, RateConverter, convert_rate

RATES = [(48_000, 16_000), (44_100, 16_000), (8_000, 16_000), (22_050, 48_000), (96_001, 16_000)]


def tone(hertz: float, rate: float, seconds: float = 0.5) -> Floats:
    at = np.arange(round(rate * seconds)) / rate
    return (0.5 * np.sin(2 * np.pi * hertz * at)).astype(np.float32)


def middle(samples: Floats) -> Floats:
    return samples[len(samples) // 4 : -len(samples) // 4]


@pytest.mark.parametrize(("rate", "wanted"), RATES)
@pytest.mark.parametrize("share", [0.01, 0.3, 0.8])
def test_a_tone_in_the_band_stays_what_it_is(rate: int, wanted: int, share: float) -> None:
    """Reference: the same sine sampled at the wanted rate."""
    hertz = share * min(rate, wanted) / 2
    expected = tone(hertz, wanted)
    found = convert_rate(tone(hertz, rate), rate, wanted)
    assert abs(len(found) - len(expected)) <= 1
    size = min(len(found), len(expected))
    assert middle(found[:size]) == pytest.approx(middle(expected[:size]), abs=1e-3)


@pytest.mark.parametrize("hertz", [8_600, 10_000, 15_900, 16_000, 20_000])
def test_a_tone_above_the_band_is_gone(hertz: float) -> None:
    found = convert_rate(tone(hertz, 48_000), 48_000, 16_000)
    assert np.abs(middle(found)).max() < 0.5 * 10 ** (-80 / 20)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.integers(0, 3_000), max_size=6).map(sorted), st.sampled_from(RATES))
def test_pieces_give_what_the_whole_gives(cuts: list[int], rates: tuple[int, int]) -> None:
    whole = np.random.default_rng(3).normal(0, 0.2, 3_000).astype(np.float32)
    stream = RateConverter(*rates)
    parts = [stream.push(whole[a:b]) for a, b in pairwise([0, *cuts, 3_000])]
    joined = np.concatenate([*parts, stream.push(whole[:0], last=True)])
    assert np.array_equal(joined, convert_rate(whole, *rates))
    assert len(joined) == round(3_000 * rates[1] / rates[0])


@pytest.mark.parametrize("rate", [11_025, 22_050, 44_100, 88_200])
def test_a_long_tone_stays_in_step(rate: int) -> None:
    """Places between samples that no binary fraction is exact for must not drift or jump."""
    stream = RateConverter(rate, 16_000)
    parts = [stream.push(tone(440, rate, 1.0)) for _ in range(60)]  # whole periods: no seam
    found = np.concatenate([*parts, stream.push(parts[0][:0], last=True)])
    assert len(found) == 60 * 16_000
    assert np.abs(middle(found) - middle(tone(440, 16_000, 60.0))).max() < 2e-3


def test_nothing_gives_nothing() -> None:
    assert len(convert_rate(np.zeros(0, np.float32), 44_100, 16_000)) == 0
