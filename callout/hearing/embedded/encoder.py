"""The encoder of the speech network, and what its layers share with the decoder's."""

from __future__ import annotations

import numpy as np

from callout.arithmetic import (
    attend_values,
    gelu,
    group_norm,
    layer_norm,
    product,
    rotated_pairs,
    sliding_windows,
)
from callout.hearing.embedded.weights import Floats, Weights

LAYERS = 6
HEADS = 8
HEAD_SIZE = 36
WIDTH = HEADS * HEAD_SIZE


class Encoder:
    """Three convolutions and six attention layers: samples to frames."""

    def __init__(self, weights: Weights) -> None:
        plain = weights.plain
        self._conv1 = _kernel(plain("encoder.conv1.weight"))
        self._group = plain("encoder.group.weight"), plain("encoder.group.bias")
        self._conv2 = _kernel(plain("encoder.conv2.weight")), plain("encoder.conv2.bias")
        self._conv3 = _kernel(plain("encoder.conv3.weight")), plain("encoder.conv3.bias")
        self._layers = [_EncoderLayer(weights, f"encoder.{i}") for i in range(LAYERS)]
        self._norm = plain("encoder.norm")

    def run(self, audio: Floats) -> Floats:
        """Return (frames, 288) of samples."""
        x = np.tanh(sliding_windows(audio[:, None], 127, 64) @ self._conv1)
        x = group_norm(x, *self._group)
        x = gelu(sliding_windows(x, 7, 3) @ self._conv2[0] + self._conv2[1])
        x = gelu(sliding_windows(x, 3, 2) @ self._conv3[0] + self._conv3[1])
        for layer in self._layers:
            x = layer.run(x)
        return layer_norm(x, self._norm)


class _EncoderLayer:
    def __init__(self, weights: Weights, name: str) -> None:
        self._norm1, self._norm2 = weights.plain(f"{name}.norm1"), weights.plain(f"{name}.norm2")
        self._qkv = weights.turned(*(f"{name}.self.{part}" for part in "qkv"))
        self._o = weights.turned(f"{name}.self.o")
        self._fc1, self._fc2 = (
            dense(weights, f"{name}.mlp.fc1"),
            dense(weights, f"{name}.mlp.fc2"),
        )

    def run(self, x: Floats) -> Floats:
        joined = product(layer_norm(x, self._norm1), self._qkv)
        q, k, v = (heads(part) for part in np.split(joined, 3, 1))
        mixed = attend_values(rotated_pairs(q, 0), rotated_pairs(k, 0), v)
        x = x + product(flat(mixed), self._o)
        inner = gelu(product(layer_norm(x, self._norm2), self._fc1[0]) + self._fc1[1])
        result: Floats = x + product(inner, self._fc2[0]) + self._fc2[1]
        return result


def _kernel(weight: Floats) -> Floats:
    """Return a convolution's kernel (out, in, width) as a matrix (width * in, out)."""
    return np.ascontiguousarray(weight.transpose(2, 1, 0).reshape(-1, weight.shape[0]))


def dense(weights: Weights, name: str) -> tuple[Floats, Floats]:
    """Return a linear layer's matrix (out, in) and bias."""
    return weights.turned(name), weights.plain(f"{name}.bias")


def heads(x: Floats) -> Floats:
    """Return (n, 288) as (heads, n, head size)."""
    return x.reshape(-1, HEADS, HEAD_SIZE).transpose(1, 0, 2)


def flat(x: Floats) -> Floats:
    """Return (heads, n, head size) as (n, 288), in column order."""
    return x.transpose(0, 2, 1).reshape(WIDTH, -1).T
