"""The speech network, computed with numpy in 32-bit numbers.

A transformer (Vaswani et al., 2017) with three convolutions in front, rotary positions (Su et al.,
2021), normalised inputs to each part, and gated units in the decoder (Shazeer, 2020). The weights
were published with 8 bits each. A runtime that also rounds every activation to 8 bits makes the
result depend on its version, the processor and the other phrases in the batch, by some two per
cent, because the last bit of one product decides how the next is rounded. Here nothing is rounded.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TypeVar

import numpy as np

from callout.arithmetic import (
    attend_values,
    highest_of_columns,
    layer_norm,
    product,
    rotated_pairs,
    silu,
)
from callout.hearing.embedded.encoder import HEAD_SIZE as HEAD_SIZE
from callout.hearing.embedded.encoder import HEADS as HEADS
from callout.hearing.embedded.encoder import LAYERS as LAYERS
from callout.hearing.embedded.encoder import WIDTH, Encoder, dense, flat, heads
from callout.hearing.embedded.sharing import shared_out
from callout.hearing.embedded.weights import Floats, Weights

SHARES = 2
"""Threads that share a batch of prefixes; a single product has one (``callout/__init__.py``)."""
WORTH_SHARING = 64
"""Fewer prefixes than this are processed in one thread: fetching weights takes most of the time."""
WORDS_AT_ONCE = 4096
"""Vocabulary words whose probabilities are computed together: they stay in the cache."""
START = 1
END = 2

Result = TypeVar("Result")
Cache = tuple[tuple[Floats, Floats], ...]
Crosses = tuple[tuple[int, Cache], ...]
"""Consecutive rows of a batch and the recording they belong to: how many, and its ``cross``."""
Seen = Sequence[tuple[int, tuple[Floats, Floats]]]
"""The same for one layer."""


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
        self._encoder = Encoder(weights)
        self._decoder = _Decoder(weights)

    def encode(self, audio: Floats) -> tuple[Encoded, Rows]:
        """Encode mono 16 kHz samples in -1..1 and return the state before the first token.

        ``audio`` must be at least 0.1 s long.
        """
        hidden = self._encoder.run(audio)
        encoded = Encoded(hidden[None], self._decoder.cross(hidden))
        nothing = np.zeros((1, HEADS, 0, HEAD_SIZE), np.float32)
        start = ((nothing, nothing),) * LAYERS
        return encoded, self._decoder.step(((1, encoded.cross),), [START], start)

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        """Append one token to each prefix of ``rows``; both have the same batch size."""
        return self._decoder.step(((len(tokens), encoded.cross),), tokens, rows.cache)

    def step_together(
        self, encoded: Sequence[Encoded], tokens: Sequence[list[int]], rows: Sequence[Rows]
    ) -> list[Rows]:
        """Do ``step`` for several recordings at once: the weights are fetched once for all.

        Their prefixes must be of one length; none of ``tokens`` may be empty.
        """
        crosses = tuple((len(t), one.cross) for t, one in zip(tokens, encoded, strict=True))
        cache = _joined_caches([one.cache for one in rows])
        done = self._decoder.step(crosses, [t for mine in tokens for t in mine], cache)
        ends = [0, *accumulate(len(mine) for mine in tokens)]
        return [
            Rows(done.log_probs[start:end], _cache_part(done.cache, start, end))
            for start, end in pairwise(ends)
        ]


class _Decoder:
    def __init__(self, weights: Weights) -> None:
        self._layers = [_DecoderLayer(weights, f"decoder.{i}") for i in range(LAYERS)]
        self._norm = weights.plain("decoder.norm")
        self._words = weights.turned("decoder.out")
        """Embedding of each token (vocabulary, 288); also what the output is compared with."""

    def cross(self, hidden: Floats) -> Cache:
        """Return what the layers need from the encoder's output, computed once."""
        return tuple(layer.cross(hidden) for layer in self._layers)

    def step(self, crosses: Crosses, tokens: list[int], cache: Cache) -> Rows:
        """Append a token to each prefix."""
        if len(tokens) < WORTH_SHARING:
            x, kept = self._through(crosses, tokens, cache)
        else:
            size = -(-len(tokens) // SHARES)
            x, kept = _joined_batches(
                shared_out(
                    lambda at: self._through(
                        _rows_of(crosses, at, at + size),
                        tokens[at : at + size],
                        _cache_part(cache, at, at + size),
                    ),
                    range(0, len(tokens), size),
                    SHARES,
                )
            )
        return Rows(self._log_probs(layer_norm(x, self._norm)), kept)

    def _through(self, crosses: Crosses, tokens: list[int], cache: Cache) -> tuple[Floats, Cache]:
        """Return (batch, 288) after the last layer, and the caches with the tokens added."""
        x = self._words[tokens]
        kept = []
        for at, (layer, before) in enumerate(zip(self._layers, cache, strict=True)):
            x, now = layer.run(x, [(rows, cross[at]) for rows, cross in crosses], before)
            kept.append(now)
        return x, tuple(kept)

    def _log_probs(self, x: Floats) -> Floats:
        """Return log-probabilities (batch, vocabulary), computed in parts of the vocabulary."""
        logits = np.empty((len(self._words), len(x)), np.float32)

        def part(at: int) -> tuple[Floats, Floats]:
            words = slice(at, at + WORDS_AT_ONCE)
            found = product(x, self._words[words], logits[words]).T
            top = highest_of_columns(found)
            ratio = np.subtract(found, top)
            return top, np.ones(len(found), np.float32) @ np.exp(ratio, out=ratio)

        tops, sums = zip(*self._by_parts(part), strict=True)
        highest = np.max(tops, axis=0)
        total = highest + np.log((np.array(sums) * np.exp(np.array(tops) - highest)).sum(0))

        def even(at: int) -> None:
            logits[at : at + WORDS_AT_ONCE] -= total

        self._by_parts(even)
        return logits.T

    def _by_parts(self, work: Callable[[int], Result]) -> list[Result]:
        return shared_out(work, range(0, len(self._words), WORDS_AT_ONCE), SHARES)


class _DecoderLayer:
    def __init__(self, weights: Weights, name: str) -> None:
        self._norms = [weights.plain(f"{name}.norm{i}") for i in (1, 2, 3)]
        self._qkv = weights.turned(*(f"{name}.self.{part}" for part in "qkv"))
        self._kv = weights.turned(*(f"{name}.cross.{part}" for part in "kv"))
        self._q = weights.turned(f"{name}.cross.q")
        self._o, self._o2 = weights.turned(f"{name}.self.o"), weights.turned(f"{name}.cross.o")
        self._fc1, self._fc2 = (
            dense(weights, f"{name}.mlp.fc1"),
            dense(weights, f"{name}.mlp.fc2"),
        )

    def cross(self, hidden: Floats) -> tuple[Floats, Floats]:
        k, v = (heads(part) for part in np.split(product(hidden, self._kv), 2, 1))
        return k, v

    def run(
        self, x: Floats, seen: Seen, before: tuple[Floats, Floats]
    ) -> tuple[Floats, tuple[Floats, Floats]]:
        """Return (batch, 288) after this layer, and keys and values with this token's added."""
        q, k, v = (
            part.reshape(-1, HEADS, 1, HEAD_SIZE)
            for part in np.split(product(layer_norm(x, self._norms[0]), self._qkv), 3, 1)
        )
        at = before[0].shape[2]
        keys = np.concatenate([before[0], rotated_pairs(k, at)], axis=2)
        values = np.concatenate([before[1], v], axis=2)
        own = attend_values(rotated_pairs(q, at), keys, values).reshape(-1, WIDTH)
        x = x + product(own, self._o)
        asked = heads(product(layer_norm(x, self._norms[1]), self._q))
        x = x + product(flat(_looked_up(asked, seen)), self._o2)
        wide = product(layer_norm(x, self._norms[2]), self._fc1[0]) + self._fc1[1]
        inner, gate = np.split(wide, 2, 1)
        x = x + product(silu(gate) * inner, self._fc2[0]) + self._fc2[1]
        return x, (keys, values)


def select_rows(rows: Rows, which: list[int]) -> Rows:
    """Return the given rows of a batch to continue from, in that order, repeats allowed.

    Their log-probabilities, which the next step does not need, are dropped.
    """
    return Rows(rows.log_probs[:0], tuple((k[which], v[which]) for k, v in rows.cache))


def joined_rows(parts: Sequence[Rows]) -> Rows:
    """Return several batches of prefixes of one length as one, without their log-probabilities."""
    return Rows(parts[0].log_probs[:0], _joined_caches([part.cache for part in parts]))


def _looked_up(asked: Floats, seen: Seen) -> Floats:
    """Return the values for queries (heads, rows, size), each row from its own recording."""
    parts = zip(pairwise([0, *accumulate(rows for rows, _ in seen)]), seen, strict=True)
    found = [attend_values(asked[:, a:b], *known) for (a, b), (_, known) in parts]
    return found[0] if len(found) == 1 else np.concatenate(found, axis=1)


def _rows_of(crosses: Crosses, start: int, end: int) -> Crosses:
    """Return the recordings of the rows from ``start`` to before ``end``."""
    ends = [0, *accumulate(rows for rows, _ in crosses)]
    inside = [min(end, b) - max(start, a) for a, b in pairwise(ends)]
    return tuple((n, cross) for n, (_, cross) in zip(inside, crosses, strict=True) if n > 0)


def _joined_batches(parts: list[tuple[Floats, Cache]]) -> tuple[Floats, Cache]:
    return np.concatenate([x for x, _ in parts]), _joined_caches([cache for _, cache in parts])


def _joined_caches(caches: Sequence[Cache]) -> Cache:
    return tuple(
        (np.concatenate([k for k, _ in layer]), np.concatenate([v for _, v in layer]))
        for layer in zip(*caches, strict=True)
    )


def _cache_part(cache: Cache, start: int, end: int) -> Cache:
    return tuple((k[start:end], v[start:end]) for k, v in cache)
