"""Dynamic time warping: how similar two utterances are, however fast each part was said.

Symmetric form of Sakoe and Chiba, IEEE Transactions on Acoustics, Speech, and Signal Processing
26(1), 1978: a diagonal step counts twice, the sum is divided by both lengths.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_FAR = np.float32(1e9)


def unit_directions(frames: Floats) -> Floats:
    """Return frames (n, d) without their mean, at unit length: products are then correlations."""
    middle = frames.astype(np.float32) - frames.mean(axis=-1, keepdims=True)
    unit: Floats = middle / (np.linalg.norm(middle, axis=-1, keepdims=True) + 1e-6)
    return unit


def warped_distances(query: Floats, takes: Sequence[Floats]) -> Floats:
    """Return the warped distance of ``query`` to each take, 0 (the same) to about 1.

    query: (n, d); takes: (m, d) each, both from ``unit_directions``. All takes are processed at
    once, diagonal by diagonal.
    """
    if not len(query) or not takes:
        return np.ones(len(takes), np.float32)
    lengths = np.array([len(take) for take in takes])
    costs = _skewed_costs(query, takes, lengths)
    before = np.full((len(takes), len(query) + 1), _FAR, np.float32)
    earlier = before.copy()
    earlier[:, 0] = 0.0
    found = np.ones(len(takes), np.float32)
    for diagonal, cost in enumerate(costs):
        now = np.full_like(before, _FAR)
        side = np.minimum(before[:, 1:], before[:, :-1]) + cost
        now[:, 1:] = np.minimum(side, earlier[:, :-1] + 2 * cost)
        done = np.flatnonzero(lengths - 1 == diagonal - (len(query) - 1))
        found[done] = now[done, len(query)]
        earlier, before = before, now
    return np.asarray(found / (len(query) + lengths), np.float32)


def _skewed_costs(query: Floats, takes: Sequence[Floats], lengths: NDArray[np.int64]) -> Floats:
    """Return costs (diagonal, take, query frame), very large where a take has no frame."""
    every = 1.0 - query @ np.concatenate(takes).T
    costs = np.full((len(query) + int(lengths.max()) - 1, len(takes), len(query)), 1e6, np.float32)
    start = 0
    for number, length in enumerate(lengths.tolist()):
        for row, cost in enumerate(every[:, start : start + length]):
            costs[row : row + length, number, row] = cost
        start += length
    return costs
