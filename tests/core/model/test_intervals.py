"""Wilson intervals against published worked values."""

from __future__ import annotations

import pytest

from callout.core.model.intervals import wilson_interval

# Newcombe, Statistics in Medicine 17:857-872 (1998), method 3: his four cases (values from memory,
# recomputed), and further values of the reference notes.
PUBLISHED = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
    (6, 32, 0.0889, 0.3531),
    (0, 10, 0.0, 0.2775),
    (0, 100, 0.0, 0.0370),
    (0, 300, 0.0, 0.0126),
    (95, 100, 0.8882, 0.9785),
    (50, 100, 0.4038, 0.5962),
    (10, 10, 0.7225, 1.0),
]


@pytest.mark.parametrize(("hits", "total", "low", "high"), PUBLISHED)
def test_published_values(hits: int, total: int, low: float, high: float) -> None:
    assert wilson_interval(hits, total) == (
        pytest.approx(low, abs=6e-5),
        pytest.approx(high, abs=6e-5),
    )


def test_no_trials_say_nothing() -> None:
    assert wilson_interval(0, 0) == (0.0, 1.0)
