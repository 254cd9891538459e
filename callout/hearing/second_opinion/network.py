"""The published speech model (Radford et al., 2023; its smallest English size), with numpy.

Two convolutions and four attention layers over a spectrogram; four layers that write text one token
at a time. The weights stay in the file's 16 bits, and become 32 bits where they are used: half the
memory, and nothing is rounded.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import (
    Floats,
    attend_values,
    gelu,
    highest_of_columns,
    layer_norm,
    product,
    sliding_windows,
    widened_floats,
)
from callout.hearing.embedded.network import Cache, Encoded, Rows
from callout.hearing.embedded.sharing import shared_out

LAYERS, HEADS, WIDTH = 4, 6, 384
SIZE = WIDTH // HEADS
END, START, NO_SPEECH, PLAIN_TEXT = 50256, 50257, 50361, 50362
"""Tokens: end of the text, start of it, "nobody speaks", "without times"."""
_SLICE = 1024
"""Words whose weights are converted to 32 bits at once: they stay in the cache."""
_SPARED, _THREADS = 8 * _SLICE, 2
"""After so many words the memory of those before is given back; threads that share them."""

Arrays = Mapping[str, NDArray[Any]]


class TextNetwork:
    """Encoder and decoder, loaded once."""

    def __init__(self, arrays: Arrays, spare: Callable[[], None] = lambda: None) -> None:
        self._encoder, self._decoder = _Encoder(arrays), _Decoder(arrays, spare)
        self.spare = spare
        """To be called when weights are not needed for a while."""

    def encode(self, bands: Floats) -> tuple[Encoded, Rows, float]:
        """Return what the decoder sees of a spectrogram (frames, 80), and its state before a word.

        The last number is the log-probability that nobody speaks.
        """
        hidden = self._encoder.run(bands)
        encoded = Encoded(hidden[None], self._decoder.cross(hidden))
        self.spare()
        both = self._decoder.begin(encoded.cross, [START, PLAIN_TEXT])
        silent = float(both.log_probs[0, NO_SPEECH])
        return encoded, Rows(both.log_probs[1:], both.cache), silent

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        """Append one token to each prefix of ``rows``; both have the same batch size."""
        return self._decoder.step(encoded.cross, tokens, rows.cache)


class _Linear:
    """A matrix and a bias."""

    def __init__(self, arrays: Arrays, name: str) -> None:
        self._weight = arrays[f"{name}/weight"]
        self._bias = np.asarray(arrays[f"{name}/bias"], np.float32)

    def __call__(self, x: Floats) -> Floats:
        result: Floats = product(x, widened_floats(self._weight)) + self._bias
        return result


class _Norm:
    """Each row with mean 0 and variance 1, scaled and shifted."""

    def __init__(self, arrays: Arrays, name: str) -> None:
        self._scale = np.asarray(arrays[f"{name}/layer_norm/gamma"], np.float32)
        self._shift = np.asarray(arrays[f"{name}/layer_norm/beta"], np.float32)

    def __call__(self, x: Floats) -> Floats:
        return layer_norm(x, self._scale) + self._shift


class _Forward:
    """The part of a layer that looks at one position alone."""

    def __init__(self, arrays: Arrays, name: str) -> None:
        self._norm = _Norm(arrays, f"{name}/ffn")
        self._up = _Linear(arrays, f"{name}/ffn/linear_0")
        self._down = _Linear(arrays, f"{name}/ffn/linear_1")

    def __call__(self, x: Floats) -> Floats:
        return self._down(gelu(self._up(self._norm(x))))


class _Encoder:
    def __init__(self, arrays: Arrays) -> None:
        self._first, self._second = (_kernel(arrays, f"encoder/conv{n}") for n in (1, 2))
        self._places = np.asarray(arrays["encoder/position_encodings/encodings"], np.float32)
        self._layers = [_EncoderLayer(arrays, f"encoder/layer_{n}") for n in range(LAYERS)]
        self._norm = _Norm(arrays, "encoder")

    def run(self, bands: Floats) -> Floats:
        """Return (frames / 2, 384) of a spectrogram (frames, 80)."""
        x = gelu(_convolved(bands, *self._first, 1))
        x = gelu(_convolved(x, *self._second, 2))
        x = x + self._places[: len(x)]
        for layer in self._layers:
            x = layer.run(x)
        return self._norm(x)


class _EncoderLayer:
    def __init__(self, arrays: Arrays, name: str) -> None:
        self._norm = _Norm(arrays, f"{name}/self_attention")
        self._qkv = _Linear(arrays, f"{name}/self_attention/linear_0")
        self._out = _Linear(arrays, f"{name}/self_attention/linear_1")
        self._forward = _Forward(arrays, name)

    def run(self, x: Floats) -> Floats:
        q, k, v = (_heads(part) for part in np.split(self._qkv(self._norm(x)), 3, 1))
        x = x + self._out(_flat(attend_values(q, k, v)))
        return x + self._forward(x)


class _Decoder:
    def __init__(self, arrays: Arrays, spare: Callable[[], None]) -> None:
        self._spare = spare
        self._words = arrays["decoder/embeddings/weight"]
        """Embedding of each token (vocabulary, 384), 16 bits; also what the output is compared
        with.
        """
        self._places = np.asarray(arrays["decoder/position_encodings/encodings"], np.float32)
        self._layers = [_DecoderLayer(arrays, f"decoder/layer_{n}") for n in range(LAYERS)]
        self._norm = _Norm(arrays, "decoder")

    def cross(self, hidden: Floats) -> Cache:
        """Return what the layers need from the encoder's output, computed once."""
        return tuple(layer.cross(hidden) for layer in self._layers)

    def begin(self, cross: Cache, tokens: list[int]) -> Rows:
        """Return the probabilities after each of the first tokens, and the state after all."""
        x = self._words[tokens].astype(np.float32) + self._places[: len(tokens)]
        kept = []
        for layer, seen in zip(self._layers, cross, strict=True):
            x, now = layer.begin(x, seen)
            kept.append(now)
        return Rows(self._log_probs(self._norm(x)), tuple(kept))

    def step(self, cross: Cache, tokens: list[int], cache: Cache) -> Rows:
        """Append a token to each prefix."""
        x = self._words[tokens].astype(np.float32) + self._places[cache[0][0].shape[2]]
        kept = []
        for layer, seen, before in zip(self._layers, cross, cache, strict=True):
            x, now = layer.run(x, seen, before)
            kept.append(now)
        return Rows(self._log_probs(self._norm(x)), tuple(kept))

    def _log_probs(self, x: Floats) -> Floats:
        """Return log-probabilities (batch, vocabulary), in parts and in place to save memory."""
        parts = [slice(n, n + _SLICE) for n in range(0, len(self._words), _SLICE)]
        out = np.empty((len(self._words), len(x)), np.float32)

        def highest(part: slice) -> Floats:
            found = np.matmul(widened_floats(self._words[part]), x.T, out=out[part])
            if part.start % _SPARED == 0:
                self._spare()
            return highest_of_columns(found)

        top = np.max(shared_out(highest, parts, _THREADS), axis=0)
        out -= top
        ones = np.ones(_SLICE, np.float32)
        total = np.sum([ones[: len(out[part])] @ np.exp(out[part]) for part in parts], axis=0)
        out -= np.log(total)
        return out.T


class _DecoderLayer:
    def __init__(self, arrays: Arrays, name: str) -> None:
        self._norm1 = _Norm(arrays, f"{name}/self_attention")
        self._norm2 = _Norm(arrays, f"{name}/attention")
        self._qkv = _Linear(arrays, f"{name}/self_attention/linear_0")
        self._out = _Linear(arrays, f"{name}/self_attention/linear_1")
        self._q, self._kv, self._out2 = (
            _Linear(arrays, f"{name}/attention/linear_{n}") for n in range(3)
        )
        self._forward = _Forward(arrays, name)

    def cross(self, hidden: Floats) -> tuple[Floats, Floats]:
        k, v = (_heads(part) for part in np.split(self._kv(hidden), 2, 1))
        return k, v

    def run(
        self, x: Floats, seen: tuple[Floats, Floats], before: tuple[Floats, Floats]
    ) -> tuple[Floats, tuple[Floats, Floats]]:
        """Return (batch, 384) after this layer, and keys and values with this token's added."""
        q, k, v = self._asked(x)
        keys = np.concatenate([before[0], k], axis=2)
        values = np.concatenate([before[1], v], axis=2)
        own = attend_values(q, keys, values).reshape(-1, WIDTH)
        return self._after(x, own, seen), (keys, values)

    def begin(self, x: Floats, seen: tuple[Floats, Floats]) -> tuple[Floats, tuple[Floats, Floats]]:
        """Return the first tokens (count, 384) after this layer, and their keys and values.

        Each token sees itself and those before it.
        """
        q, *kept = self._asked(x)
        keys, values = (np.ascontiguousarray(part.transpose(2, 1, 0, 3)) for part in kept)
        ends = range(1, len(x) + 1)
        own = [attend_values(q[n - 1], keys[0, :, :n], values[0, :, :n]) for n in ends]
        return self._after(x, np.reshape(own, (-1, WIDTH)), seen), (keys, values)

    def _asked(self, x: Floats) -> tuple[Floats, ...]:
        """Return queries, keys and values of single tokens, (batch, heads, 1, 64) each."""
        parts = np.split(self._qkv(self._norm1(x)), 3, 1)
        return tuple(part.reshape(-1, HEADS, 1, SIZE) for part in parts)

    def _after(self, x: Floats, own: Floats, seen: tuple[Floats, Floats]) -> Floats:
        """Return the tokens after what each saw of the text, then of the sound."""
        x = x + self._out(own)
        x = x + self._out2(_flat(attend_values(_heads(self._q(self._norm2(x))), *seen)))
        return x + self._forward(x)


def _kernel(arrays: Arrays, name: str) -> tuple[Floats, Floats]:
    """Return a convolution's kernel (out, in, 3) as a matrix (3 * in, out), and its bias."""
    kernel = np.asarray(arrays[f"{name}/weight"], np.float32).transpose(2, 1, 0)
    bias = np.asarray(arrays[f"{name}/bias"], np.float32)
    return kernel.reshape(-1, kernel.shape[2]), bias


def _convolved(x: Floats, kernel: Floats, bias: Floats, stride: int) -> Floats:
    result: Floats = sliding_windows(np.pad(x, ((1, 1), (0, 0))), 3, stride) @ kernel + bias
    return result


def _heads(x: Floats) -> Floats:
    """Return (n, 384) as (heads, n, 64), each head contiguous: products are faster that way."""
    return np.ascontiguousarray(x.reshape(-1, HEADS, SIZE).transpose(1, 0, 2))


def _flat(x: Floats) -> Floats:
    """Return (heads, n, 64) as (n, 384), in column order."""
    return x.transpose(0, 2, 1).reshape(WIDTH, -1).T
