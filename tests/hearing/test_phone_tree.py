"""The tree of pronunciations gives each one's best alignment, whatever it shares with others."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from callout.hearing.embedded.phone_tree import NEVER, Floats, PhoneTree, tree_of_sounds


def some(frames: int, phones: int, seed: int) -> Floats:
    rng = np.random.default_rng(seed)
    raw = rng.normal(0.0, 2.0, (frames, phones)).astype(np.float32)
    return np.asarray(raw - np.logaddexp.reduce(raw, axis=1, keepdims=True), np.float32)


def best_of_all_paths(log_probs: Floats) -> dict[tuple[int, ...], float]:
    """Graves et al. (ICML 2006), section 3.1: merge repeats, then drop the blank."""
    best: dict[tuple[int, ...], float] = {}
    for path in product(range(log_probs.shape[1]), repeat=len(log_probs)):
        told = tuple(b for a, b in zip((0, *path), path, strict=False) if b not in (a, 0))
        score = float(sum(log_probs[i, p] for i, p in enumerate(path)))
        best[told] = max(best.get(told, -np.inf), score)
    return best


@pytest.mark.parametrize("frames", [1, 2, 4, 6])
@pytest.mark.parametrize("seed", range(3))
def test_each_score_is_the_best_of_all_paths(frames: int, seed: int) -> None:
    log_probs = some(frames, 4, seed)
    best = best_of_all_paths(log_probs)
    phrases = [phones for phones in best if phones]
    assert len(phrases) >= 3
    scores = PhoneTree.of(phrases).best_alignments(log_probs)
    assert scores == pytest.approx([best[phones] for phones in phrases], abs=1e-4)


def test_company_does_not_change_a_score() -> None:
    log_probs = some(30, 40, 5)
    rng = np.random.default_rng(5)
    stems = [tuple(rng.integers(1, 40, 4).tolist()) for _ in range(3)]
    phrases = [stem[:n] + (last,) * 2 for stem in stems for n in range(5) for last in (1, 2, 3)]
    together = PhoneTree.of(phrases).best_alignments(log_probs)
    alone = [float(PhoneTree.of([p]).best_alignments(log_probs)[0]) for p in phrases]
    assert together.tolist() == alone


def test_beginnings_are_shared_and_what_does_not_fit_is_impossible() -> None:
    tree = PhoneTree.of([(1, 2, 3), (1, 2, 4), (1, 2)])
    assert len(tree.parents) == 1 + 4
    long_one, double = PhoneTree.of([(1, 2, 3, 1), (1, 1)]).best_alignments(some(2, 5, 1))
    assert max(long_one, double) < NEVER / 2
    assert PhoneTree.of([]).best_alignments(some(2, 5, 1)).shape == (0,)


def test_an_items_tree_is_made_once() -> None:
    sounds = ((1, 2), (3,))
    assert tree_of_sounds(sounds) is tree_of_sounds(((1, 2), (3,)))
