"""Building blocks of the networks: the package's weights, and arithmetic on float32 arrays."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from callout.core.sentences import sound_devices as sentences
from callout.errors import ModelNotFound

Floats = NDArray[np.float32]

TURNED = 32
"""Number of leading values of each head that are rotated by position."""
_BASE = 10_000.0
_NARROW = 64
_FEW_ROWS, _SHORT_ROWS, _SMALL_RESULT = 12, 512, 1200
_SHIFT, _KEPT, _SCALE = 13, np.int32(-0x70002000), np.float32(2.0**112)
_EPSILON = np.float32(1e-5)
_ERF = (0.254829592, -0.284496736, 1.421413741, -1.453152027, 1.061405429)
_ERF_SLOPE = np.float32(0.3275911)
_ROOT_HALF = np.float32(np.sqrt(0.5))
_FAR = np.float32(80.0)
"""Where a Gaussian ends. Beyond it come numbers too small for the processor's usual way: one in a
hundred of them makes a product twenty times slower.
"""


def shipped_arrays(file: str, whose: str) -> dict[str, NDArray[Any]]:
    """Return the arrays of a file of the package, as in "data/hearing/speech.npz".

    whose: as in "the built-in voice's"; raises ModelNotFound if the installation lacks the file.
    """
    path = resources.files("callout") / file
    try:
        with path.open("rb") as opened, np.load(opened) as data:
            return {name: data[name] for name in data.files}
    except FileNotFoundError as error:
        message = sentences.weights_missing(whose)
        raise ModelNotFound(message, "pip install --force-reinstall callout") from error


@dataclass(frozen=True)
class PackedWeights:
    """Arrays by name; 8-bit matrices come with ``NAME.scale``: scale and zero point."""

    arrays: dict[str, NDArray[Any]]
    """Name to array, as stored; 8-bit ones come with their scale."""

    def plain(self, name: str) -> Floats:
        """Return a vector or kernel that is stored unquantised."""
        return np.asarray(self.arrays[name], np.float32)

    def matrix(self, *names: str) -> Floats:
        """Return 8-bit matrices (in, out) as 32-bit numbers, side by side."""
        return np.concatenate([self._matrix(name) for name in names], axis=1)

    def turned(self, *names: str) -> Floats:
        """Return the same as (out, in), as ``product`` takes it."""
        return np.ascontiguousarray(self.matrix(*names).T)

    def _matrix(self, name: str) -> Floats:
        scale, zero = self.arrays[f"{name}.scale"]
        return np.asarray((self.arrays[name].astype(np.float32) - zero) * scale, np.float32)


def product(x: Floats, weight: Floats, out: Floats | None = None) -> Floats:
    """Return (n, in) times the transpose of a contiguous matrix (out, in), in column order.

    The few rows are the inner dimension of the sum, so that the library need not rearrange the
    large matrix: half the time for up to some hundred rows, and no copy of the weights. Two rows to
    a dozen are multiplied with parts of the matrix so small that it is not rearranged either.
    out: (out, n), where to put the result.
    """
    count, (size, width) = len(x), weight.shape
    if 1 < count <= _FEW_ROWS and width <= _SHORT_ROWS:
        parts = weight.reshape(-1, _part_size(size, count), width)
        shape = (*parts.shape[:2], count)
        found = np.matmul(parts, x.T, out=None if out is None else out.reshape(shape))
        return found.reshape(size, count).T
    result: Floats = np.matmul(weight, x.T, out=out).T
    return result


@lru_cache(256)
def _part_size(rows: int, count: int) -> int:
    """Return the largest divisor of ``rows`` for which a part's result stays small."""
    return max(n for n in range(1, _SMALL_RESULT // count + 1) if rows % n == 0)


def widened_floats(x: NDArray[np.float16]) -> Floats:
    """Return finite 16-bit numbers in 32 bits, exactly; several times faster than a plain cast.

    Sign, exponent and fraction are shifted into place; the exponent's bias differs, which a power
    of two corrects.
    """
    bits = x.view(np.int16).astype(np.int32)
    bits <<= _SHIFT
    bits &= _KEPT
    result: Floats = bits.view(np.float32)
    result *= _SCALE
    return result


def sliding_windows(x: Floats, width: int, stride: int) -> Floats:
    """Return the windows of (n, channels), each flattened: (count, width * channels)."""
    seen = sliding_window_view(x, width, axis=0)[::stride]
    return seen.transpose(0, 2, 1).reshape(len(seen), -1)


def layer_norm(x: Floats, scale: Floats) -> Floats:
    """Return each row with mean 0 and variance 1, times ``scale``."""
    middle = x - x.mean(-1, keepdims=True)
    spread = np.sqrt(np.square(middle).mean(-1, keepdims=True) + _EPSILON)
    result: Floats = middle / spread * scale
    return result


def group_norm(x: Floats, scale: Floats, shift: Floats) -> Floats:
    """Return all values normalised together to mean 0 and variance 1, then scaled by channel."""
    middle = x - x.mean()
    result: Floats = middle / np.sqrt(np.square(middle).mean() + _EPSILON) * scale + shift
    return result


def gelu(x: Floats) -> Floats:
    """Return x times the normal distribution function of x (Hendrycks and Gimpel, 2016).

    Its error function is 7.1.26 of Abramowitz and Stegun's Handbook: error at most 1.5e-7.
    """
    z = np.abs(x) * _ROOT_HALF
    t = _ERF_SLOPE * z
    t += 1
    np.reciprocal(t, out=t)
    series = t * np.float32(_ERF[-1])
    for factor in reversed(_ERF[:-1]):
        series += np.float32(factor)
        series *= t
    np.multiply(z, z, out=z)
    np.minimum(z, _FAR, out=z)
    np.negative(z, out=z)
    series *= np.exp(z, out=z)
    series *= np.abs(x) * np.float32(0.5)
    result: Floats = np.maximum(x, 0) - series
    return result


def silu(x: Floats) -> Floats:
    """Return x / (1 + e^-x) without overflow."""
    result: Floats = x * np.float32(0.5) * (1 + np.tanh(np.float32(0.5) * x))
    return result


def log_softmax(logits: Floats) -> Floats:
    """Return the natural logarithms of probabilities over the last axis."""
    shifted = logits - logits.max(-1, keepdims=True)
    shifted -= np.log(np.exp(shifted).sum(-1, keepdims=True))
    result: Floats = shifted
    return result


def attend_values(q: Floats, k: Floats, v: Floats) -> Floats:
    """Return the weighted values (..., n, size) for queries (..., n, size)."""
    weight = q @ k.swapaxes(-1, -2) * np.float32(1 / np.sqrt(q.shape[-1]))
    weight = np.exp(weight - weight.max(-1, keepdims=True))
    result: Floats = weight / weight.sum(-1, keepdims=True) @ v
    return result


def rotated_pairs(x: Floats, start: int) -> Floats:
    """Return (..., n, size) with adjacent pairs rotated by position, from ``start`` onward."""
    cos, sin = _turns(start, x.shape[-2])
    a, b = x[..., :TURNED:2], x[..., 1:TURNED:2]
    result = x.copy()
    result[..., :TURNED:2] = a * cos - b * sin
    result[..., 1:TURNED:2] = b * cos + a * sin
    return result


@lru_cache(128)
def _turns(start: int, count: int) -> tuple[Floats, Floats]:
    rate = _BASE ** -(np.arange(0, TURNED, 2) / TURNED)
    angle = np.outer(np.arange(start, start + count), rate)
    return np.cos(angle).astype(np.float32), np.sin(angle).astype(np.float32)


def highest_of_columns(x: Floats) -> Floats:
    """Return the highest value of each column of (n, columns), fast for few columns and many rows.

    Halves are compared as a whole: numpy goes through the rows of a narrow array one by one.
    """
    while len(x) > _NARROW and len(x) % 2 == 0:
        x = np.maximum(x[: len(x) // 2], x[len(x) // 2 :])
    result: Floats = x.max(0)
    return result


def kernel_taps(kernel: Floats) -> Floats:
    """Return a kernel (out, in, 3) as three contiguous matrices (3, out, in).

    numpy below 2.3 multiplies strided ones without its fast library, some ten times as slowly.
    """
    return np.ascontiguousarray(np.moveaxis(kernel, 2, 0))
