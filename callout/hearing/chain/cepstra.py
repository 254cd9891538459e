"""Mel cepstra as the chain model was trained on, and its speaker vector.

Both follow the public descriptions of the Kaldi toolkit: 40 cepstra of 25 ms every 10 ms, and an
i-vector (Dehak and others, "Front-end factor analysis for speaker verification", 2011) of the whole
utterance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from callout.arithmetic import Floats
from callout.ports.hearing import SAMPLE_RATE, Samples

COUNT, WINDOW, HOP, POINTS = 40, 400, 160, 512
LOW_HZ, HIGH_HZ = 20.0, 7600.0
PREEMPHASIS, LIFTER, SMALLEST = 0.97, 22.0, 1.1920929e-07
ROUND = 3
"""Frames on either side that the speaker vector looks at."""
CLOSEST, LEAST_SHARE, WEIGHT = 5, 0.025, 0.1
"""Classes of sound that a frame may belong to, the share below which one is dropped, and how much a
frame counts: neighbouring frames tell the same.
"""
GLOBAL_FRAMES, WINDOW_FRAMES = 200, 600
"""How far the mean of this voice is drawn towards that of all voices."""

Doubles = NDArray[np.float64]


def cepstra(samples: Samples) -> Floats:
    """Return the mel cepstra (frames, 40) of 16-bit mono at 16 kHz; no frames below WINDOW."""
    if len(samples) < WINDOW:
        return np.zeros((0, COUNT), np.float32)
    frames = sliding_window_view(samples.astype(np.float32), WINDOW)[::HOP].copy()
    frames -= frames.mean(1, keepdims=True)
    before = np.concatenate([frames[:, :1], frames[:, :-1]], 1)
    power = np.abs(np.fft.rfft((frames - PREEMPHASIS * before) * _WINDOW, POINTS)) ** 2
    bands = np.log(np.maximum(power @ _BANDS.T, SMALLEST))
    return np.asarray(bands @ _COSINES.T, np.float32)


def _mel(hertz: Doubles | float) -> Doubles:
    return np.asarray(1127.0 * np.log1p(np.asarray(hertz) / 700.0))


def _bands() -> Floats:
    edges = np.linspace(_mel(LOW_HZ), _mel(HIGH_HZ), COUNT + 2)
    bins = _mel(np.arange(POINTS // 2 + 1) * SAMPLE_RATE / POINTS)
    step = edges[1] - edges[0]
    rising, falling = (bins - edges[:-2, None]) / step, (edges[2:, None] - bins) / step
    weights = np.maximum(0.0, np.minimum(rising, falling))
    weights[:, -1] = 0.0  # the highest bin is left out
    return np.asarray(weights, np.float32)


def _cosines() -> Floats:
    order = np.arange(COUNT)
    rows = np.sqrt(2.0 / COUNT) * np.cos(np.pi / COUNT * np.outer(order, order + 0.5))
    rows[0] = np.sqrt(1.0 / COUNT)
    lifted = 1.0 + LIFTER / 2 * np.sin(np.pi * order / LIFTER)
    return np.asarray(rows * lifted[:, None], np.float32)


_WINDOW = ((0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / (WINDOW - 1))) ** 0.85).astype(
    np.float32
)
_BANDS, _COSINES = _bands(), _cosines()


@dataclass(frozen=True, slots=True)
class SpeakerModel:
    """What turns cepstra into a vector that tells voice and room apart."""

    transform: Floats
    """From seven frames side by side, and one, to 40 numbers: (40, 281)."""
    mean: Floats
    constants: Floats
    means: Floats
    """Of each class of sound, times its inverse variances, (classes, 40)."""
    inverse: Floats
    weighed: Floats
    """Precision times the directions in which a class moves with the speaker, (classes, 40, 30)."""
    curvature: Floats
    """Directions, precision, directions: (classes, 30, 30)."""
    offset: float

    @classmethod
    def of(cls, arrays: Mapping[str, NDArray[Any]]) -> SpeakerModel:
        """Return the model from the arrays of the package's file."""
        part = {
            name.removeprefix("speaker."): np.asarray(values, np.float32)
            for name, values in arrays.items()
            if name.startswith("speaker.")
        }
        directions = part["matrices"]
        weighed = np.einsum("irc,icd->ird", _full(part["precisions"]), directions, optimize=True)
        return cls(
            part["lda"],
            part["mean"],
            part["gconsts"],
            part["means_invvars"],
            part["inv_vars"],
            weighed,
            np.einsum("icd,ice->ide", directions, weighed, optimize=True),
            float(part["offset"][0]),
        )

    def vector(self, frames: Floats) -> Floats:
        """Return the speaker vector (30,) of an utterance's cepstra (frames, 40)."""
        shares, kept = self._shares(self._spliced(frames - self._moving_mean(frames)))
        zeroth = np.zeros(len(self.constants))
        np.add.at(zeroth, kept.ravel(), shares.ravel())
        first = np.zeros((len(self.constants), COUNT))
        told = shares[:, :, None] * self._spliced(frames)[:, None, :]
        np.add.at(first, kept.ravel(), told.reshape(-1, COUNT))
        size = self.curvature.shape[1]
        left = np.eye(size) + np.tensordot(zeroth, self.curvature, 1)
        right = np.einsum("ird,ir->d", self.weighed, first)
        right[0] += self.offset
        found = np.linalg.solve(left, right)
        found[0] -= self.offset
        return np.asarray(found, np.float32)

    def _moving_mean(self, frames: Floats) -> Floats:
        seen = np.arange(1, len(frames) + 1)[:, None]
        drawn = np.clip(WINDOW_FRAMES - seen, 0, GLOBAL_FRAMES)
        total = np.cumsum(frames, 0, dtype=np.float64)
        return np.asarray((total + drawn * self.mean) / (seen + drawn), np.float32)

    def _spliced(self, frames: Floats) -> Floats:
        near = np.arange(len(frames))[:, None] + np.arange(-ROUND, ROUND + 1)
        wide = frames[np.clip(near, 0, len(frames) - 1)].reshape(len(frames), -1)
        return np.asarray(wide @ self.transform[:, :-1].T + self.transform[:, -1], np.float32)

    def _shares(self, frames: Floats) -> tuple[Doubles, NDArray[np.intp]]:
        """Return how much of each frame belongs to its closest classes, and which they are."""
        likely = self.constants + frames @ self.means.T - 0.5 * frames**2 @ self.inverse.T
        kept = np.argpartition(-likely, CLOSEST, 1)[:, :CLOSEST]
        near = np.take_along_axis(likely, kept, 1).astype(np.float64)
        shares = np.exp(near - near.max(1, keepdims=True))
        shares /= shares.sum(1, keepdims=True)
        shares[shares < LEAST_SHARE] = 0.0
        return WEIGHT * shares / shares.sum(1, keepdims=True), kept


def _full(triangles: Floats) -> Floats:
    """Return symmetric matrices (n, 40, 40) from their packed lower triangles (n, 820)."""
    rows, columns = np.tril_indices(COUNT)
    whole = np.zeros((len(triangles), COUNT, COUNT), np.float32)
    whole[:, rows, columns] = whole[:, columns, rows] = triangles
    return whole
