"""Removes the tool's own voice from what the microphone hears, using the played signal.

An adaptive filter follows the path from speaker to microphone, in blocks and in frequency: the
partitioned Kalman filter of G. Enzner and P. Vary ("Frequency-domain adaptive Kalman filter for
acoustic echo control in hands-free telephones", Signal Processing 86, 2006). It weighs its own
uncertainty against everything else that is heard, so a person who talks meanwhile does not lead it
astray, and it forgets slowly, so clocks that drift apart are followed. No library was suitable: one
published binding comes as source only, another is part of a networking library of tens of
megabytes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from callout.ports.hearing import SAMPLE_RATE, Samples

STEP = 256
"""Samples per step, 16 ms: half as many follow a drifting clock no better."""
_PARTS = 28
"""Steps of the modelled path from speaker to microphone: 448 ms of delay and reverberation."""
_KEEPS = 0.998
"""Share of the path that is still true one step later; with 0.9995 a drift of 100 ppm left 5 dB of
cancelling, with 0.995 a steady path 22 dB instead of 24.
"""
_SMOOTH = 0.9
"""Share of the other sound's power that is carried over to the next step."""
_QUIET = 1.0
"""Root mean square of a reference, 16-bit full scale, below which nothing is learned."""
_FLOOR = 1e2
"""Minimum power of other sound in a bin: the microphone's own noise."""
_FIRST = 0.015
"""Variance of a path that is still unknown."""
_UNKNOWN = 1e7
"""Assumed power of other sound in a bin at the start: learning begins cautiously."""

Complex = NDArray[np.complex128]


class EchoCanceller:
    """One path from speaker to microphone, learned during use; both at 16 kHz."""

    def __init__(self, parts: int = _PARTS) -> None:
        bins = STEP + 1
        self._way = np.zeros((parts, bins), complex)
        self._doubt = np.full((parts, bins), _FIRST)
        self._played = np.zeros((parts, bins), complex)
        self._last = np.zeros(STEP)
        self._other = np.full(bins, _UNKNOWN)
        self._before = self._after = self._echo = self._shared = 0.0
        self._silent = len(self._played)

    @property
    def removed_db(self) -> float | None:
        """How much of the tool's voice has recently been removed while it plays; None before
        that.
        """
        if self._before <= 0:
            return None
        return float(10 * np.log10((self._before + 1e-9) / (self._after + 1e-9)))

    @property
    def astray(self) -> float:
        """How much of the remainder is the tool's own voice, as a share of what is removed.

        Near 0 while the path is right, whoever else speaks; near 1 once it has changed.
        """
        return abs(self._shared) / (self._echo + 1e-9)

    @property
    def delay_s(self) -> float | None:
        """Delay, in seconds, at which the path is strongest; None before that."""
        if self._before <= 0:
            return None
        taps = np.fft.irfft(self._way, axis=1)[:, :STEP].ravel()
        return int(np.argmax(np.abs(taps))) / SAMPLE_RATE

    def take(self, heard: Samples, played: Samples) -> Samples:
        """Return a block without the tool's voice.

        heard, played: int16 samples of the same moment, a whole number of STEPs; played sound may
        reach the microphone at once or up to 0.4 s later, never earlier.
        """
        parts = [
            self._step(heard[at : at + STEP], played[at : at + STEP].astype(np.float64))
            for at in range(0, len(heard), STEP)
        ]
        whole = np.concatenate(parts)
        result: Samples = np.clip(np.round(whole), -32_768, 32_767).astype(np.int16)
        return result

    def _step(self, heard: Samples, reference: NDArray[np.float64]) -> NDArray[np.float64]:
        if self._silent >= len(self._played) and not reference.any():
            return heard.astype(np.float64)  # nothing was played for as long as a room rings
        self._silent = 0 if reference.any() else self._silent + 1
        self._played = np.roll(self._played, 1, axis=0)
        self._played[0] = np.fft.rfft(np.concatenate([self._last, reference]))
        self._last = reference
        echo = np.fft.irfft(np.sum(self._played * self._way, axis=0))[STEP:]
        error = heard - echo
        if self._sounds():
            self._learn(error)
            self._tally(heard.astype(np.float64), error, echo)
        return np.asarray(error)

    def _sounds(self) -> bool:
        energy = float(np.mean(np.abs(self._played) ** 2)) / (2 * STEP)
        return energy > _QUIET**2

    def _learn(self, error: NDArray[np.float64]) -> None:
        spectrum = np.fft.rfft(np.concatenate([np.zeros(STEP), error]))
        power = np.abs(spectrum) ** 2
        self._other = np.maximum(_SMOOTH * self._other + (1 - _SMOOTH) * power, _FLOOR)
        loud = np.abs(self._played) ** 2
        step = self._doubt / (0.5 * np.sum(loud * self._doubt, axis=0) + self._other)
        change = np.fft.irfft(step * self._played.conj() * spectrum, axis=1)
        change[:, STEP:] = 0.0  # no part of the path is longer than a step
        self._way += np.fft.rfft(change, axis=1)
        share = _KEEPS**2
        self._doubt = share * (1 - 0.5 * step * loud) * self._doubt
        self._doubt += (1 - share) * np.abs(self._way) ** 2

    def _tally(
        self, heard: NDArray[np.float64], error: NDArray[np.float64], echo: NDArray[np.float64]
    ) -> None:
        self._before = 0.99 * self._before + float(np.mean(heard**2))
        self._after = 0.99 * self._after + float(np.mean(error**2))
        self._echo = 0.99 * self._echo + float(np.mean(echo**2))
        self._shared = 0.99 * self._shared + float(np.mean(error * echo))
