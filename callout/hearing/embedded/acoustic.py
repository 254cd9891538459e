"""Our own acoustic model: phones read directly from the sound, with numpy alone.

Two convolutions and four attention blocks over a log-mel spectrogram, then one linear layer to
phones: 7.6 million parameters, stored as 8-bit integers with one scale per row. They began as the
encoder of a published speech model (its card: ``models_readme/acoustic.md``) and were trained
further with ``callout bench acoustic``. Only numpy runs here, so a reply is scored alike on every
platform.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import (
    Floats,
    attend_values,
    kernel_taps,
    layer_norm,
    log_softmax,
    product,
    shipped_arrays,
)
from callout.ports.hearing import SAMPLE_RATE, Samples

FILE = "data/hearing/acoustic.npz"
HEADS, WIDTH = 6, 384
BANDS, WINDOW, HOP = 80, 400, 160
RANGE = 8.0
"""Powers of ten below the loudest band at which the spectrogram is cut off."""
FRAME_S = 2 * HOP / SAMPLE_RATE
LONGEST_S = 12.0
"""Longer speech is not a reply; the rest is ignored."""
SHORTEST = WINDOW


@dataclass(frozen=True, slots=True)
class Acoustic:
    """The model with its weights as 32-bit numbers."""

    weights: dict[str, Floats]

    @classmethod
    def shipped(cls) -> Acoustic:
        """Return the model in the package."""
        return cls(_as_numbers(shipped_arrays(FILE, "the acoustic model's")))

    @property
    def layers(self) -> int:
        """Number of attention blocks."""
        return sum(name.endswith("norm1.weight") for name in self.weights)

    def read(self, samples: Samples) -> Floats:
        """Return log-probabilities (frames, phones + 1) of one utterance, one frame per 20 ms.

        samples: 16-bit mono at 16 kHz. No frames for less than SHORTEST samples.
        """
        if len(samples) < SHORTEST:
            return np.zeros((0, len(self.weights["head.bias"])), np.float32)
        kept = samples[: int(LONGEST_S * SAMPLE_RATE)]
        x = self._encoded(log_mel_spectrogram(kept.astype(np.float32) / 32768.0))
        return log_softmax(product(x, self.weights["head.weight"]) + self.weights["head.bias"])

    def _encoded(self, x: Floats) -> Floats:
        w = self.weights
        x = _gelu(_convolve_frames(x, w["conv1.weight"], 1) + w["conv1.bias"])
        x = _gelu(_convolve_frames(x, w["conv2.weight"], 2) + w["conv2.bias"])
        x = x + position_codes(len(x))
        for layer in range(self.layers):
            x = x + self._attended(x, f"blocks.{layer}.")
            x = x + self._forward(x, f"blocks.{layer}.")
        return self._normed(x, "norm")

    def _attended(self, x: Floats, at: str) -> Floats:
        w = self.weights
        joined = product(self._normed(x, at + "norm1"), w[at + "qkv.weight"]) + w[at + "qkv.bias"]
        parts = joined.reshape(len(x), 3, HEADS, WIDTH // HEADS).transpose(1, 2, 0, 3)
        mixed = attend_values(*np.ascontiguousarray(parts))
        whole = mixed.transpose(0, 2, 1).reshape(WIDTH, -1).T
        out: Floats = product(whole, w[at + "out.weight"]) + w[at + "out.bias"]
        return out

    def _forward(self, x: Floats, at: str) -> Floats:
        w = self.weights
        inner = product(self._normed(x, at + "norm2"), w[at + "up.weight"])
        wide = _gelu(inner + w[at + "up.bias"])
        out: Floats = product(wide, w[at + "down.weight"]) + w[at + "down.bias"]
        return out

    def _normed(self, x: Floats, name: str) -> Floats:
        return layer_norm(x, self.weights[name + ".weight"]) + self.weights[name + ".bias"]


def log_mel_spectrogram(sound: Floats) -> Floats:
    """Return the log-mel spectrogram (frames, 80) of mono 16 kHz sound in -1 to 1.

    Windows of 25 ms every 10 ms, cut off 80 dB below the loudest, about -1 to 1.
    """
    padded = np.pad(sound, WINDOW // 2, mode="reflect")
    count = len(sound) // HOP
    starts = np.arange(count)[:, None] * HOP + np.arange(WINDOW)
    window = np.hanning(WINDOW + 1)[:-1].astype(np.float32)
    power = np.abs(np.fft.rfft(padded[starts] * window)).astype(np.float32) ** 2
    bands = np.log10(np.maximum(power @ mel_bands().T, 1e-10))
    result: Floats = (np.maximum(bands, bands.max() - RANGE) + 4.0) / 4.0
    return result.astype(np.float32)


@cache
def mel_bands() -> Floats:
    """Return the weights (80, 201) of triangular bands, equally wide on the mel scale.

    Linear to 1 kHz and logarithmic above (Slaney, Auditory Toolbox, 1998), each of area 1.
    """
    edges = _to_hertz(np.linspace(0.0, _to_mel(SAMPLE_RATE / 2), BANDS + 2))
    bins = np.linspace(0.0, SAMPLE_RATE / 2, WINDOW // 2 + 1)
    rising = (bins - edges[:-2, None]) / (edges[1:-1] - edges[:-2])[:, None]
    falling = (edges[2:, None] - bins) / (edges[2:] - edges[1:-1])[:, None]
    triangles = np.maximum(0.0, np.minimum(rising, falling))
    return np.asarray(triangles * (2.0 / (edges[2:] - edges[:-2]))[:, None], np.float32)


def _to_mel(hertz: float) -> float:
    return hertz / (200.0 / 3) if hertz < 1000 else 15.0 + 27.0 * np.log(hertz / 1000) / np.log(6.4)


def _to_hertz(mels: NDArray[np.float64]) -> NDArray[np.float64]:
    above = 1000.0 * np.exp((np.maximum(mels, 15.0) - 15.0) * np.log(6.4) / 27.0)
    return np.where(mels < 15.0, mels * 200.0 / 3, above)


def position_codes(count: int) -> Floats:
    """Return sines and cosines (count, 384) that encode the position of each frame."""
    rates = np.exp(-np.log(10_000.0) / (WIDTH // 2 - 1) * np.arange(WIDTH // 2))
    angles = np.arange(count)[:, None] * rates
    return np.concatenate([np.sin(angles), np.cos(angles)], 1).astype(np.float32)


def _convolve_frames(x: Floats, kernel: Floats, step: int) -> Floats:
    """Convolve (frames, in) with a kernel (out, in, 3), zero-padded."""
    padded = np.pad(x, ((1, 1), (0, 0)))
    count = (len(x) - 1) // step + 1
    rows = (padded[i : i + step * (count - 1) + 1 : step] for i in range(3))
    parts = [row @ tap.T for row, tap in zip(rows, kernel_taps(kernel), strict=True)]
    return np.asarray(sum(parts), np.float32)


def _gelu(x: Floats) -> Floats:
    """Return x * P(normal < x) in its usual tanh approximation."""
    slope = np.float32(0.7978845608) * (x + np.float32(0.044715) * (x * x * x))
    out: Floats = np.float32(0.5) * x * (1 + np.tanh(slope))
    return out


def pack_weights(weights: dict[str, Floats]) -> dict[str, NDArray[Any]]:
    """Return the weights as stored on disk: matrices as int8 with one scale per row, the rest in 16
    bits.
    """
    kept: dict[str, NDArray[Any]] = {}
    for name, values in weights.items():
        if values.ndim < 2:
            kept[name] = values.astype(np.float16)
            continue
        rows = values.reshape(len(values), -1)
        scale = np.maximum(np.abs(rows).max(1), 1e-9) / 127.0
        kept[name] = np.round(rows / scale[:, None]).astype(np.int8).reshape(values.shape)
        kept[name + ".scale"] = scale.astype(np.float32)
    return kept


def unpack_weights(file: IO[bytes]) -> dict[str, Floats]:
    """Return the weights from a file written with ``pack_weights``."""
    with np.load(file) as data:
        return _as_numbers({name: data[name] for name in data.files})


def _as_numbers(kept: Mapping[str, NDArray[Any]]) -> dict[str, Floats]:
    weights = {}
    for name, values in kept.items():
        if not name.endswith(".scale"):
            scale = kept.get(name + ".scale", np.ones(1, np.float32))
            shape = (-1, *(1,) * (values.ndim - 1))
            weights[name] = np.asarray(values * scale.reshape(shape), np.float32)
    return weights
