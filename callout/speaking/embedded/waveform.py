"""Spectra to sound: a train of pulses and noise, both shaped by the network's output.

The network predicts for each 12.5 ms how strong and how turned every harmonic is, how strong the
noise is, and a part with a phase of its own; their sum goes back to time by overlap and add. After
hibari's ``dsp.py`` (Apache-2.0). Raising the pitch and stretching the spectra gives another voice.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import Floats
from callout.speaking.embedded.network import BINS, Spectra

RATE = 24_000
_SIZE, _HOP = 1200, 300
_VOICED = 40.0
"""Hertz; a lower pitch counts as unvoiced."""
_HIGHEST = 11_000.0
_CEILING = 7.0
"""Logarithm of the strongest magnitude."""
_WINDOW = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(_SIZE) / _SIZE)).astype(np.float32)

Complex = NDArray[np.complex64]


def make_waveform(told: Spectra, *, pitch: float = 1.0, size: float = 1.0, seed: int = 0) -> Floats:
    """Return mono samples at RATE, full scale 1.0.

    pitch: factor on every pitch; size: factor on the speaker's vocal tract (1.1: formants a tenth
    lower); seed: of the noise, so that the same words sound the same.
    """
    level = [_resize_frequencies(part, size) for part in (told.harmonic, told.noise, told.free)]
    harmonic, noise, free = (np.exp(np.minimum(part, _CEILING)) for part in level)
    spectrum = _spectra_of(_pitch_pulses(told.pitch * np.float32(pitch)), len(told.pitch))
    spectrum *= harmonic * _unit_turn(
        np.float32(np.pi) * np.tanh(_resize_frequencies(told.angle, size))
    )
    chance = np.random.default_rng(seed)
    hiss = chance.standard_normal((*noise.shape, 2), dtype=np.float32).view(np.complex64)[..., 0]
    spectrum += noise * hiss + free * _unit_turn(told.phase)
    return _in_time(spectrum.astype(np.complex64))


def _resize_frequencies(part: Floats, size: float) -> Floats:
    """Return (frames, BINS) with the frequency axis divided by ``size``."""
    if size == 1.0:
        return part
    at = np.minimum(np.arange(BINS) * size, BINS - 1)
    low = at.astype(int)
    share = (at - low).astype(np.float32)
    result: Floats = part[:, low] * (1 - share) + part[:, np.minimum(low + 1, BINS - 1)] * share
    return result


def _unit_turn(angle: Floats) -> Complex:
    result = np.empty(angle.shape, np.complex64)
    np.cos(angle, out=result.real)
    np.sin(angle, out=result.imag)
    return result


def _pitch_pulses(pitch: Floats) -> Floats:
    """Return pulses at the pitch: all harmonics below _HIGHEST at equal strength.

    The sum of cos(h t) for h = 1 to n is sin((n + 1/2) t) / (2 sin(t / 2)) - 1/2.
    """
    middle = (np.arange(len(pitch)) + 0.5) * _HOP - 0.5
    hertz = np.interp(np.arange(len(pitch) * _HOP), middle, pitch)
    voiced = hertz > _VOICED
    hertz = np.maximum(hertz, _VOICED)
    turn = 2 * np.pi * np.modf(np.cumsum(hertz) / RATE)[0]
    count = np.floor(_HIGHEST / hertz) + 0.5
    below = 2 * np.sin(turn / 2)
    near = np.abs(below) <= 2e-3
    pulses = np.where(near, count, np.sin(count * turn) / np.where(near, 1, below)) - 0.5
    return np.where(voiced, pulses, 0).astype(np.float32)


def _spectra_of(sound: Floats, frames: int) -> Complex:
    padded = np.pad(sound, _SIZE // 2, mode="reflect")
    seen = np.lib.stride_tricks.sliding_window_view(padded, _SIZE)[::_HOP][:frames]
    return np.fft.rfft(seen * (_WINDOW / (_SIZE / 4))).astype(np.complex64)


def _in_time(spectrum: Complex) -> Floats:
    frames = len(spectrum)
    parts = np.fft.irfft(spectrum, _SIZE) * _WINDOW
    shares = _SIZE // _HOP
    sound = np.zeros((frames + shares - 1, _HOP))
    weight = np.zeros_like(sound)
    for n in range(shares):
        piece = slice(n * _HOP, (n + 1) * _HOP)
        sound[n : n + frames] += parts[:, piece]
        weight[n : n + frames] += _WINDOW[piece] ** 2
    whole = (sound / np.maximum(weight, 1e-11)).ravel()
    return whole[_SIZE // 2 : _SIZE // 2 + frames * _HOP].astype(np.float32)
