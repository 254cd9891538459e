"""Clips in noise: as long as the recording, and as loud as they say."""

from __future__ import annotations

import numpy as np
import pytest

from callout.bench.acoustic.conditions import FRAME, Condition, conditions
from callout.bench.acoustic.trimming import trimmed
from callout.hearing.cabin_noise import cabin_noise
from callout.ports.hearing import SAMPLE_RATE, Samples

WORD = slice(4_000, 11_000)


def recording() -> Samples:
    """Return a second with a tone from a quarter to two thirds of it, and silence around."""
    t = np.arange(SAMPLE_RATE) / SAMPLE_RATE
    tone = np.zeros(SAMPLE_RATE)
    tone[WORD] = 9_000 * np.sin(2 * np.pi * 300 * t[WORD])
    frame = np.zeros(FRAME)
    return np.concatenate([frame, tone, frame]).astype(np.int16)


def clips() -> list[Condition]:
    crowd = [(3_000 * cabin_noise(SAMPLE_RATE, seed)).astype(np.int16) for seed in range(3)]
    return [c for c in conditions(crowd) if c.name.startswith("clip")]


@pytest.mark.parametrize("condition", clips(), ids=lambda c: c.name)
def test_a_clip_is_the_recording_without_the_silence_around_it(condition: Condition) -> None:
    made = condition.make(recording(), 5)
    assert len(made) == SAMPLE_RATE
    assert np.array_equal(made, condition.make(recording(), 5))


@pytest.mark.parametrize(("name", "told"), [("vehicle 10 dB", 10.0), ("vehicle 5 dB", 5.0)])
def test_the_noise_is_as_far_below_the_words_as_it_says(name: str, told: float) -> None:
    clean = recording()[FRAME:-FRAME].astype(np.float64)
    made = next(c for c in clips() if c.name == f"clip, {name}").make(recording(), 5) * 1.0
    scale = made @ clean / (clean @ clean)
    power = np.mean(trimmed(recording()[FRAME:-FRAME]).astype(np.float64) ** 2)
    ratio = 10 * np.log10(scale**2 * power / np.mean((made - scale * clean) ** 2))
    assert ratio == pytest.approx(told, abs=0.3)


@pytest.mark.parametrize("name", ["car", "vehicle", "twenty", "six"])
def test_noise_over_all_is_ten_decibels_below_the_whole_clip(name: str) -> None:
    clean = recording()[FRAME:-FRAME].astype(np.float64)
    made = next(c for c in clips() if c.name == f"clip, {name} over all").make(recording(), 5)
    scale = made @ clean / (clean @ clean)
    ratio = 10 * np.log10(scale**2 * np.mean(clean**2) / np.mean((made - scale * clean) ** 2))
    assert ratio == pytest.approx(10.0, abs=0.3)
