"""Simulated noise for fixtures and measurements, the same for the same seed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from callout.ports.hearing import SAMPLE_RATE, Samples

_FIRING_HZ = 92.0
"""Twice per revolution of a four-cylinder four-stroke engine at 2,760 revolutions per minute."""
_HARMONICS = 14


def cabin_noise(count: int, seed: int) -> NDArray[np.float64]:
    """Return ``count`` samples of noise as in a light aircraft's cabin, root mean square 1.

    Engine harmonics that fall by 3 dB each and waver in pitch, over air noise whose spectrum
    falls with frequency.
    """
    rng = np.random.default_rng(seed)
    return _at_one(_engine_harmonics(count, rng) + 0.7 * _falling_noise(count, rng))


def mix_noise(speech: Samples, snr_db: float, seed: int) -> Samples:
    """Return ``speech`` in cabin noise; the ratio is taken over the samples with speech.

    snr_db: signal to noise in decibels. The sum is scaled to peak at half of full scale.
    """
    signal = speech.astype(np.float64)
    noise = cabin_noise(len(signal), seed) * speech_rms(speech) * 10 ** (-snr_db / 20)
    total = signal + noise
    result: Samples = np.round(total * 16_384 / np.abs(total).max()).astype(np.int16)
    return result


def speech_rms(sound: Samples | NDArray[np.float64]) -> float:
    """Return the root mean square over the samples with speech: above a twentieth of the peak."""
    signal = sound.astype(np.float64)
    loud = np.abs(signal) > 0.05 * np.abs(signal).max()
    return float(np.sqrt(np.mean(signal[loud] ** 2)))


def _engine_harmonics(count: int, rng: np.random.Generator) -> NDArray[np.float64]:
    wander = np.cumsum(rng.normal(0.0, 0.004, count)) / SAMPLE_RATE
    turns = np.cumsum(_FIRING_HZ * (1.0 + wander)) / SAMPLE_RATE
    parts = [
        10 ** (-3.0 * n / 20) * np.sin(2 * np.pi * (n * turns + rng.random()))
        for n in range(1, _HARMONICS + 1)
    ]
    return _at_one(np.sum(parts, axis=0))


def _falling_noise(count: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """Return noise whose power falls as 1/f above 60 Hz."""
    spectrum = np.fft.rfft(rng.normal(0.0, 1.0, count))
    hertz = np.fft.rfftfreq(count, 1 / SAMPLE_RATE)
    return _at_one(np.fft.irfft(spectrum / np.sqrt(np.maximum(hertz, 60.0)), count))


def _at_one(noise: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return noise scaled to a root mean square of 1."""
    scaled: NDArray[np.float64] = noise / np.sqrt(np.mean(noise**2))
    return scaled
