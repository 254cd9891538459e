"""Removes steady noise (engine, airflow) from an utterance before it is recognised.

A Wiener gain per frequency with the decision-directed estimate of Ephraim and Malah (IEEE Trans.
ASSP 32(6), 1984). The noise is read off the utterance's own edges, which the voice activity
detector left there; a quiet room is left untouched.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from callout.ports.hearing import SAMPLE_RATE, Samples

WINDOW = 512
HOP = 128
LEAST_GAIN = 0.3
"""A minimum gain keeps the speech natural; chosen on 10 and 5 dB mixes."""
OVER = 1.2
SMOOTH = 0.6
QUIET_DB = 12.0
"""Above this signal-to-noise ratio nothing is done: from 14 dB up it made no difference or did
harm.
"""
OPENING = 0.2
CLOSING = 0.12
"""Seconds without speech at either edge."""

SHORTEST = int((OPENING + CLOSING + 0.1) * SAMPLE_RATE)
"""Fewer samples than this have no edges from which to read noise."""

Power = NDArray[np.float64]


def reduce_noise(samples: Samples) -> Samples:
    """Return 16 kHz samples with steady noise reduced; the same ones if there is little."""
    return reduce_and_measure(samples)[0]


def reduce_and_measure(samples: Samples) -> tuple[Samples, float]:
    """Return the samples with steady noise reduced, and their ratio, from one analysis."""
    if len(samples) < SHORTEST:
        return samples, QUIET_DB
    spectrum = _analyse_frames(samples)
    power = np.abs(spectrum) ** 2
    noise = _noise_power(power)
    ratio = _ratio_db(power, noise)
    if ratio > QUIET_DB:
        return samples, ratio
    return _synthesise_frames(spectrum * _spectral_gain(power / noise), len(samples)), ratio


def _noise_power(power: Power) -> Power:
    """Return the mean noise power per frequency, estimated from the quieter edge's median."""
    inside = power[WINDOW // HOP : -(WINDOW // HOP)]  # without the padding of the analysis
    opening = inside[: int(OPENING * SAMPLE_RATE / HOP)]
    closing = inside[-int(CLOSING * SAMPLE_RATE / HOP) :]
    # The median of an exponential distribution is ln 2 of its mean; the lesser of two is low.
    quieter = np.minimum(np.median(opening, 0), np.median(closing, 0))
    result: Power = quieter / np.log(2.0) * 1.2 + 1e-3
    return result


def _ratio_db(power: Power, noise: Power) -> float:
    loud = float(np.quantile(power.sum(1), 0.9))
    return 10.0 * float(np.log10(max(loud, 1e-9) / float(noise.sum())))


def _spectral_gain(posterior: Power) -> Power:
    gain = np.empty_like(posterior)
    before = np.zeros(posterior.shape[1])
    for t, now in enumerate(posterior):
        prior = SMOOTH * before + (1.0 - SMOOTH) * np.maximum(now - OVER, 0.0)
        gain[t] = prior / (1.0 + prior)
        before = gain[t] ** 2 * now
    return np.maximum(gain, LEAST_GAIN)


def _analysis_window() -> Power:
    window: Power = np.hanning(WINDOW + 1)[:-1]
    return window


def _analyse_frames(samples: Samples) -> NDArray[np.complex128]:
    padded = np.pad(samples.astype(np.float64), (WINDOW, WINDOW))
    count = (len(padded) - WINDOW) // HOP + 1
    starts = np.arange(count)[:, None] * HOP + np.arange(WINDOW)
    return np.fft.rfft(padded[starts] * _analysis_window())


def _synthesise_frames(spectrum: NDArray[np.complex128], length: int) -> Samples:
    window = _analysis_window()
    total = length + 2 * WINDOW
    out, weight = np.zeros(total), np.zeros(total)
    for i, frame in enumerate(np.fft.irfft(spectrum, WINDOW) * window):
        at = slice(i * HOP, i * HOP + WINDOW)
        out[at] += frame
        weight[at] += window**2
    clean = out / np.maximum(weight, 1e-3)
    kept: Samples = np.clip(clean, -32768, 32767)[WINDOW:-WINDOW].astype(np.int16)
    return kept
