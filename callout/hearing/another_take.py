"""Simulates other voices and rooms from one recording, for training; fully seeded.

Speed perturbation as in Ko et al., "Audio augmentation for speech recognition", Interspeech 2015; a
microphone's tilt and a small room are common practice.
"""

from __future__ import annotations

import random

import numpy as np

from callout.hearing.cabin_noise import mix_noise
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate

SPEEDS = (0.86, 0.92, 1.0, 1.08, 1.16)
"""Playing faster shortens the vocal tract and raises the voice; playing slower does the
opposite.
"""
TILT_DB = 8.0
"""Maximum boost or cut by a microphone at the top of the band."""
REVERB_S = 0.25
"""Longest time in which the room's echo decays by 60 dB."""
LOUDEST_SNR_DB, SOFTEST_SNR_DB = 30.0, 3.0
CLEAN_SHARE = 0.35


def another_take(samples: Samples, chance: random.Random) -> Samples:
    """Return ``samples`` as another voice in another room would have said them."""
    sound = samples.astype(np.float64)
    speed = chance.choice(SPEEDS)
    if speed != 1.0:
        faster = convert_rate(sound.astype(np.float32), SAMPLE_RATE * speed, SAMPLE_RATE)
        sound = faster.astype(np.float64)
    sound = _tilted_spectrum(sound, chance.uniform(-TILT_DB, TILT_DB))
    if chance.random() < 0.5:
        sound = _in_room(sound, chance.uniform(0.05, REVERB_S), chance.randrange(1 << 30))
    peak = float(np.abs(sound).max())
    taken: Samples = np.round(sound * (16_384 / peak if peak else 0.0)).astype(np.int16)
    if chance.random() < CLEAN_SHARE:
        return taken
    snr = chance.uniform(SOFTEST_SNR_DB, LOUDEST_SNR_DB)
    return mix_noise(taken, snr, chance.randrange(1 << 30))


def _tilted_spectrum(sound: np.ndarray, top_db: float) -> np.ndarray:
    """Return ``sound`` with its spectrum tilted in a straight line up to ``top_db`` at 8 kHz."""
    spectrum = np.fft.rfft(sound)
    gain = 10 ** (np.linspace(0.0, top_db, len(spectrum)) / 20)
    return np.fft.irfft(spectrum * gain, len(sound))


def _in_room(sound: np.ndarray, seconds: float, seed: int) -> np.ndarray:
    """Return ``sound`` with the decaying echo of a small room."""
    rng = np.random.default_rng(seed)
    count = int(seconds * SAMPLE_RATE)
    echo = rng.normal(0.0, 1.0, count) * 10 ** (-3.0 * np.arange(count) / count)
    echo *= 0.4 / np.sqrt((echo**2).sum())
    echo[0] = 1.0
    size = len(sound) + count
    both = np.fft.rfft(sound, size) * np.fft.rfft(echo, size)
    return np.fft.irfft(both, size)[: len(sound)]
