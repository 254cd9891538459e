"""The speech network, computed with numpy in 32-bit numbers.

A transformer (Vaswani et al., 2017) with three convolutions in front, turned positions (Su et al.,
2021), normalised inputs to each part, and gated units in the decoder (Shazeer, 2020). The weights
were published with 8 bits each. A runtime that also rounds every activation to 8 bits lets the last
bit of one product decide how the next is rounded: its answer changes with its version, the
processor and the other phrases in the batch by some two per cent. Here nothing is rounded.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from callout.arithmetic import (
    attention,
    gelu,
    group_norm,
    layer_norm,
    log_softmax,
    silu,
    turned,
    windows,
)
from callout.hearing.embedded.sharing import shared_out
from callout.hearing.embedded.weights import Floats, Weights

LAYERS = 6
HEADS = 8
HEAD_SIZE = 36
WIDTH = HEADS * HEAD_SIZE
MOST_ROWS = 12
"""Prefixes that pass through the decoder at once."""
SHARES = 2
"""Threads that share a batch of prefixes; a single product has one (``callout/__init__.py``)."""
WORTH_SHARING = 4
"""Fewer prefixes than this are not shared out."""
START = 1
END = 2

Cache = tuple[tuple[Floats, Floats], ...]


@dataclass(frozen=True, slots=True)
class Encoded:
    """One recording as the decoder sees it."""

    hidden: Floats
    """Encoder output, shape (1, frames, 288)."""
    cross: Cache
    """Cross-attention keys and values per layer, each (heads, frames, head size)."""


@dataclass(frozen=True, slots=True)
class Rows:
    """Decoder state of a batch of prefixes of one length."""

    log_probs: Floats
    """Log-probability of each next token, shape (batch, vocabulary)."""
    cache: Cache
    """Self-attention keys and values per layer, each (batch, heads, length, head size)."""


class Network:
    """Encoder and decoder, loaded once."""

    def __init__(self, weights: Weights) -> None:
        self._encoder = _Encoder(weights)
        self._decoder = _Decoder(weights)

    def encode(self, audio: Floats) -> tuple[Encoded, Rows]:
        """Encode mono 16 kHz samples in -1..1 and return the state before the first token.

        ``audio`` must be at least 0.1 s long.
        """
        hidden = self._encoder.run(audio)
        encoded = Encoded(hidden[None], self._decoder.cross(hidden))
        nothing = np.zeros((1, HEADS, 0, HEAD_SIZE), np.float32)
        return encoded, self._decoder.step(encoded.cross, [START], ((nothing, nothing),) * LAYERS)

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        """Append one token to each prefix of ``rows``; both have the same batch size.

        A large batch is run in parts, so that its memory stays bounded.
        """
        if len(tokens) < WORTH_SHARING:
            return self._decoder.step(encoded.cross, tokens, rows.cache)
        size = min(MOST_ROWS, -(-len(tokens) // SHARES))
        return _joined(
            shared_out(
                lambda at: self._decoder.step(
                    encoded.cross, tokens[at : at + size], _part(rows.cache, at, at + size)
                ),
                range(0, len(tokens), size),
                SHARES,
            )
        )


class _Encoder:
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
        x = np.tanh(windows(audio[:, None], 127, 64) @ self._conv1)
        x = group_norm(x, *self._group)
        x = gelu(windows(x, 7, 3) @ self._conv2[0] + self._conv2[1])
        x = gelu(windows(x, 3, 2) @ self._conv3[0] + self._conv3[1])
        for layer in self._layers:
            x = layer.run(x)
        return layer_norm(x, self._norm)


class _EncoderLayer:
    def __init__(self, weights: Weights, name: str) -> None:
        self._norm1, self._norm2 = weights.plain(f"{name}.norm1"), weights.plain(f"{name}.norm2")
        self._qkv = weights.matrix(*(f"{name}.self.{part}" for part in "qkv"))
        self._o = weights.matrix(f"{name}.self.o")
        self._fc1, self._fc2 = (
            _dense(weights, f"{name}.mlp.fc1"),
            _dense(weights, f"{name}.mlp.fc2"),
        )

    def run(self, x: Floats) -> Floats:
        q, k, v = (_heads(part) for part in np.split(layer_norm(x, self._norm1) @ self._qkv, 3, 1))
        x = x + _flat(attention(turned(q, 0), turned(k, 0), v)) @ self._o
        inner = gelu(layer_norm(x, self._norm2) @ self._fc1[0] + self._fc1[1])
        result: Floats = x + inner @ self._fc2[0] + self._fc2[1]
        return result


class _Decoder:
    def __init__(self, weights: Weights) -> None:
        self._layers = [_DecoderLayer(weights, f"decoder.{i}") for i in range(LAYERS)]
        self._norm = weights.plain("decoder.norm")
        self._words = np.ascontiguousarray(weights.matrix("decoder.out").T)
        """Embedding of each token (vocabulary, 288); also what the output is compared with."""

    def cross(self, hidden: Floats) -> Cache:
        """Return what the layers need of the encoder's output, computed once."""
        return tuple(layer.cross(hidden) for layer in self._layers)

    def step(self, cross: Cache, tokens: list[int], cache: Cache) -> Rows:
        """Append a token to each prefix."""
        x = self._words[tokens]
        kept = []
        for layer, seen, before in zip(self._layers, cross, cache, strict=True):
            x, now = layer.run(x, seen, before)
            kept.append(now)
        return Rows(log_softmax(layer_norm(x, self._norm) @ self._words.T), tuple(kept))


class _DecoderLayer:
    def __init__(self, weights: Weights, name: str) -> None:
        self._norms = [weights.plain(f"{name}.norm{i}") for i in (1, 2, 3)]
        self._qkv = weights.matrix(*(f"{name}.self.{part}" for part in "qkv"))
        self._kv = weights.matrix(*(f"{name}.cross.{part}" for part in "kv"))
        self._q = weights.matrix(f"{name}.cross.q")
        self._o, self._o2 = weights.matrix(f"{name}.self.o"), weights.matrix(f"{name}.cross.o")
        self._fc1, self._fc2 = (
            _dense(weights, f"{name}.mlp.fc1"),
            _dense(weights, f"{name}.mlp.fc2"),
        )

    def cross(self, hidden: Floats) -> tuple[Floats, Floats]:
        k, v = (_heads(part) for part in np.split(hidden @ self._kv, 2, 1))
        return k, v

    def run(
        self, x: Floats, seen: tuple[Floats, Floats], before: tuple[Floats, Floats]
    ) -> tuple[Floats, tuple[Floats, Floats]]:
        """Return (batch, 288) after this layer, and keys and values with this token's added."""
        q, k, v = (
            part.reshape(-1, HEADS, 1, HEAD_SIZE)
            for part in np.split(layer_norm(x, self._norms[0]) @ self._qkv, 3, 1)
        )
        at = before[0].shape[2]
        keys = np.concatenate([before[0], turned(k, at)], axis=2)
        values = np.concatenate([before[1], v], axis=2)
        x = x + attention(turned(q, at), keys, values).reshape(-1, WIDTH) @ self._o
        asked = _heads(layer_norm(x, self._norms[1]) @ self._q)
        x = x + _flat(attention(asked, *seen)) @ self._o2
        inner, gate = np.split(layer_norm(x, self._norms[2]) @ self._fc1[0] + self._fc1[1], 2, 1)
        x = x + (silu(gate) * inner) @ self._fc2[0] + self._fc2[1]
        return x, (keys, values)


def select(rows: Rows, which: list[int]) -> Rows:
    """Return the given rows of a batch, in that order, repeats allowed."""
    return Rows(rows.log_probs[which], tuple((k[which], v[which]) for k, v in rows.cache))


def _joined(parts: list[Rows]) -> Rows:
    cache = tuple(
        (np.concatenate([k for k, _ in layer]), np.concatenate([v for _, v in layer]))
        for layer in zip(*(p.cache for p in parts), strict=True)
    )
    return Rows(np.concatenate([p.log_probs for p in parts]), cache)


def _part(cache: Cache, start: int, end: int) -> Cache:
    return tuple((k[start:end], v[start:end]) for k, v in cache)


def _kernel(weight: Floats) -> Floats:
    """Return a convolution's kernel (out, in, width) as a matrix (width * in, out)."""
    return np.ascontiguousarray(weight.transpose(2, 1, 0).reshape(-1, weight.shape[0]))


def _dense(weights: Weights, name: str) -> tuple[Floats, Floats]:
    return weights.matrix(name), weights.plain(f"{name}.bias")


def _heads(x: Floats) -> Floats:
    """Return (n, 288) as (heads, n, head size)."""
    return x.reshape(-1, HEADS, HEAD_SIZE).transpose(1, 0, 2)


def _flat(x: Floats) -> Floats:
    """Return (heads, n, head size) as (n, 288)."""
    return x.transpose(1, 0, 2).reshape(-1, WIDTH)
