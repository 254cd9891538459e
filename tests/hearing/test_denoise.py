"""Steady noise is lowered, speech and quiet rooms are left alone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.hearing.cabin_noise import cabin_noise, mix_noise
from callout.hearing.denoise import LEAST_GAIN, reduce_and_measure, reduce_noise
from callout.ports.hearing import SAMPLE_RATE, Samples
from tests.hearing.recordings import ROOM, in_a_room, recording

SPOKEN = ("human/on.wav", "human/off.wav", "demo/one-zero-one-three.wav", "demo/both-on.wav")
EDGE = int(0.15 * SAMPLE_RATE)


def decibels(samples: Samples) -> float:
    return 10 * float(np.log10(np.mean(samples.astype(np.float64) ** 2) + 1e-9))


@pytest.mark.parametrize("name", SPOKEN)
def test_speech_in_a_quiet_room_is_not_touched(name: str) -> None:
    samples = in_a_room(name)
    assert np.array_equal(reduce_noise(samples), samples)


@pytest.mark.parametrize("name", SPOKEN)
@pytest.mark.parametrize("seed", [1, 2])
def test_noise_at_5_db_is_lowered_and_the_speech_stays(name: str, seed: int) -> None:
    clean = np.concatenate([ROOM, recording(name), ROOM])
    noisy = mix_noise(clean, 5.0, seed)
    out = reduce_noise(noisy)
    assert len(out) == len(noisy)
    assert decibels(out[:EDGE]) < decibels(noisy[:EDGE]) - 4
    assert decibels(out[-EDGE:]) < decibels(noisy[-EDGE:]) - 4
    assert reduce_and_measure(out)[1] > reduce_and_measure(noisy)[1]
    loudest = slice(*_loudest(clean))
    assert abs(decibels(out[loudest]) - decibels(noisy[loudest])) < 3


@pytest.mark.parametrize("name", SPOKEN)
def test_what_is_left_is_closer_to_the_clean_speech(name: str) -> None:
    clean = np.concatenate([ROOM, recording(name), ROOM])
    noisy = mix_noise(clean, 5.0, 3)
    assert _likeness(reduce_noise(noisy), clean) > _likeness(noisy, clean)


def test_no_frequency_is_taken_out_altogether() -> None:
    hiss = (cabin_noise(SAMPLE_RATE, 4) * 3000).astype(np.int16)
    out = reduce_noise(hiss)
    assert decibels(hiss) + 20 * np.log10(LEAST_GAIN) - 1 < decibels(out) < decibels(hiss)


LENGTHS = [0, 1, 2, 511, 512, 513, 6719, 6720, 6721, 7168, 16_000, 16_001, 40_000]


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize(
    "level", ["zeros", "full scale", "square", "tiny", "offset", "lowest", "click"]
)
def test_extreme_sounds_keep_their_length_and_range(length: int, level: str) -> None:
    time = np.arange(length)
    samples = {
        "zeros": np.zeros(length),
        "full scale": 32767 * np.sin(time / 5),
        "square": np.where(time % 100 < 50, 32767, -32768),
        "tiny": time % 2,
        "offset": np.full(length, 20_000),
        "lowest": np.full(length, -32768),
        "click": np.where(time == length // 2, 32767, 0),
    }[level].astype(np.int16)
    before = samples.copy()
    out = reduce_noise(samples)
    assert out.dtype == np.int16
    assert len(out) == length
    assert np.array_equal(samples, before)  # the caller's samples are not written to
    if level == "zeros":
        assert not np.any(out)
    if length:
        assert decibels(out) <= decibels(samples) + 1.0


def test_too_short_to_tell_noise_is_left_alone() -> None:
    noise = (cabin_noise(6700, 1) * 3000).astype(np.int16)
    assert reduce_noise(noise) is noise


@settings(deadline=None)
@given(seed=st.integers(0, 2**32 - 1), length=st.integers(0, 20_000), level=st.integers(0, 32_767))
def test_any_noise_is_safe(seed: int, length: int, level: int) -> None:
    rng = np.random.default_rng(seed)
    samples = rng.integers(-level, level + 1, length).astype(np.int16)
    out = reduce_noise(samples)
    assert len(out) == length
    assert np.isfinite(reduce_and_measure(samples)[1]) if length >= 6720 else True


def _loudest(samples: Samples) -> tuple[int, int]:
    energy = np.convolve(samples.astype(np.float64) ** 2, np.ones(1600), "valid")
    at = int(energy.argmax())
    return at, at + 1600


def _likeness(samples: Samples, clean: Samples) -> float:
    a, b = samples.astype(np.float64), clean.astype(np.float64)
    return float(a @ b / (np.linalg.norm(a) * np.linalg.norm(b)))
