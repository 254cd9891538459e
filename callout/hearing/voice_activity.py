"""Detects speech, 32 ms at a time: a small published network, computed with numpy.

Short-time spectrum, four convolutions, one recurrent layer (long short-term memory, Hochreiter and
Schmidhuber, 1997). It needs no clock and no library of its own, so it is the same everywhere.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from callout.arithmetic import Floats, shipped_arrays
from callout.ports.hearing import Samples

FILE = "data/hearing/voice_activity.npz"
STRIDES = (1, 2, 2, 1)
_MEMORY = 128
_BLOCK = 512
_WINDOW, _HOP = 256, 128
_EDGE = 64
"""Samples mirrored at either end of a block for the spectrum."""
_BINS = 129
_FULL_SCALE = np.float32(32_767)


def _windows(length: int, width: int, hop: int) -> Any:
    """Return the places of each window in something of this length, one row for each."""
    return np.arange(0, length - width + 1, hop)[:, None] + np.arange(width)


# Looked up, since working them out took half the time of a block: all blocks are of one length.
_FRAMES = np.pad(np.arange(_BLOCK), _EDGE, mode="reflect")[
    _windows(_BLOCK + 2 * _EDGE, _WINDOW, _HOP)
]
_LENGTHS = (4, 4, 2, 1)
"""What comes into each convolution."""
_ROWS = tuple(_windows(n + 2, 3, stride) for n, stride in zip(_LENGTHS, STRIDES, strict=True))


class VoiceActivity:
    """The probability of speech in each block, given the previous ones.

    Raises ModelNotFound if the installation lacks the weights.
    """

    def __init__(self) -> None:
        arrays = _shipped_weights()
        self._spectrum = arrays["stft.forward_basis_buffer"][:, 0].T.copy()
        names = [f"encoder.{i}.reparam_conv" for i in range(len(STRIDES))]
        kernels = [arrays[f"{name}.weight"] for name in names]
        self._kernels = [k.transpose(2, 1, 0).reshape(-1, k.shape[0]).copy() for k in kernels]
        self._biases = [arrays[f"{name}.bias"] for name in names]
        gates = [arrays[f"decoder.rnn.weight_{side}"] for side in ("ih", "hh")]
        self._gates = np.concatenate(gates, axis=1).T.copy()
        self._gates_bias = arrays["decoder.rnn.bias_ih"] + arrays["decoder.rnn.bias_hh"]
        self._out = arrays["decoder.decoder.2.weight"].ravel()
        self._out_bias = arrays["decoder.decoder.2.bias"].ravel()
        self.reset()

    def reset(self) -> None:
        """Forget the previous blocks."""
        self._output = np.zeros(_MEMORY, np.float32)
        self._cell = np.zeros(_MEMORY, np.float32)

    def probability(self, block: Samples) -> float:
        """Return 0 to 1 for 512 samples of 16-bit mono at 16 kHz."""
        x = self._features(block.astype(np.float32) / _FULL_SCALE)
        for kernel, bias, rows in zip(self._kernels, self._biases, _ROWS, strict=True):
            padded = np.zeros((len(x) + 2, x.shape[1]), np.float32)
            padded[1:-1] = x
            x = np.maximum(padded[rows].reshape(len(rows), -1) @ kernel + bias, 0.0)
        gates = np.concatenate([x.ravel(), self._output]) @ self._gates + self._gates_bias
        take, keep, new, give = gates.reshape(4, _MEMORY)
        self._cell = _logistic(keep) * self._cell + _logistic(take) * np.tanh(new)
        self._output = _logistic(give) * np.tanh(self._cell)
        return float(_logistic(np.maximum(self._output, 0.0) @ self._out + self._out_bias)[0])

    def _features(self, sound: Floats) -> Floats:
        parts = sound[_FRAMES] @ self._spectrum
        result: Floats = np.hypot(parts[:, :_BINS], parts[:, _BINS:])
        return result


def _logistic(x: Floats) -> Floats:
    """Return 1 / (1 + e^-x) without overflow."""
    result: Floats = np.float32(0.5) * (1 + np.tanh(np.float32(0.5) * x))
    return result


def _shipped_weights() -> dict[str, Any]:
    arrays = shipped_arrays(FILE, "the voice activity detector's")
    return {name: values.astype(np.float32) for name, values in arrays.items()}
