"""Simulated rooms, noises and crowds for training the acoustic model."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from callout.hearing.cabin_noise import cabin_noise
from callout.hearing.embedded.weights import Floats
from callout.ports.hearing import SAMPLE_RATE

NOISE_S = 120
"""Seconds kept of each kind of noise."""
ROOM_S = 0.9


def room(rng: np.random.Generator) -> Floats:
    """Return a simulated room: the direct sound, early reflections, and a decaying tail.

    Fading time 0.1 to 0.9 s; all that comes later lies 16 dB below to 8 dB above the direct sound.
    """
    decay, count = rng.uniform(0.1, 0.9), int(ROOM_S * SAMPLE_RATE)
    t = np.arange(count) / SAMPLE_RATE
    tail = rng.normal(0.0, 1.0, count) * 10 ** (-3.0 * t / decay)
    tail[: int(rng.uniform(0.001, 0.012) * SAMPLE_RATE)] = 0.0
    if rng.random() < 0.5:  # duller with time, as air and cloth absorb high frequencies
        keep = np.exp(-t * rng.uniform(1.0, 8.0))
        tail = keep * tail + (1 - keep) * np.convolve(tail, np.ones(3) / 3, "same")
    for at in rng.integers(20, int(0.05 * SAMPLE_RATE), rng.integers(0, 8)):
        tail[at] += rng.normal(0.0, 6.0) * 10 ** (-3.0 * t[at] / decay)
    tail *= 10 ** (rng.uniform(-16.0, 8.0) / 20) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return np.asarray(tail, np.float32)


def noises(rng: np.random.Generator) -> Iterator[Floats]:
    """Yield each kind of noise, NOISE_S seconds, root mean square 1."""
    count = NOISE_S * SAMPLE_RATE
    hertz = np.fft.rfftfreq(count, 1 / SAMPLE_RATE)
    for slope in (0.0, 0.5, 1.0, 1.5, 2.0):
        yield _shaped(rng, count, 1.0 / np.maximum(hertz, 50.0) ** slope)
    for corner in (80.0, 150.0, 300.0):  # a car: rumble, and tyres far below
        yield _shaped(rng, count, 1.0 / (1.0 + (hertz / corner) ** 2) + 0.01)
    for seed in range(6):
        yield np.asarray(cabin_noise(count, 1000 + seed), np.float32)
    for _ in range(4):  # engines, fans and propellers of other speeds
        t = np.arange(count) / SAMPLE_RATE
        base = rng.uniform(25.0, 240.0) * (
            1 + 0.01 * np.sin(2 * np.pi * rng.uniform(0.05, 0.4) * t)
        )
        turns = np.cumsum(base) / SAMPLE_RATE
        fall = rng.uniform(1.0, 4.0)
        parts = sum(
            10 ** (-fall * n / 20) * np.sin(2 * np.pi * (n * turns + rng.random()))
            for n in range(1, 16)
        )
        air = _shaped(rng, count, 1.0 / np.maximum(hertz, 80.0) ** rng.uniform(0.3, 1.2))
        mixed = parts / np.std(parts) + rng.uniform(0.3, 1.5) * air
        yield np.asarray(mixed / np.std(mixed), np.float32)
    bursts = rng.normal(0.0, 1.0, count) * (rng.random(count) < 0.0002)
    clicks = np.convolve(bursts, np.exp(-np.arange(800) / 120.0) * rng.normal(0, 1, 800), "same")
    yield np.asarray(clicks / np.std(clicks), np.float32)


def _shaped(rng: np.random.Generator, count: int, gain: Any) -> Floats:
    noise = np.fft.irfft(np.fft.rfft(rng.normal(0.0, 1.0, count)) * gain, count)
    return np.asarray(noise / np.std(noise), np.float32)


def crowd_of(voices: Sequence[Floats], size: int, rng: np.random.Generator) -> Floats:
    """Return ``size`` people talking at once, at different distances."""
    count = NOISE_S * SAMPLE_RATE
    total = np.zeros(count, np.float32)
    for _ in range(size):
        at = int(rng.integers(0, SAMPLE_RATE))
        loud = 10 ** (rng.uniform(-4.0, 4.0) / 20)
        while at < count:
            one = voices[int(rng.integers(len(voices)))].astype(np.float32)
            level = np.float32(loud / (np.std(one) + 1e-3))
            part = one[: count - at] * level
            total[at : at + len(part)] += part
            at += len(one) + int(rng.exponential(0.2) * SAMPLE_RATE)
    return np.asarray(total / np.std(total), np.float32)
