"""Connectionist temporal classification against counting every path."""

from __future__ import annotations

from itertools import groupby, product

import numpy as np
import pytest

from callout.hearing.embedded.lexicon import PHONES, Phones
from callout.hearing.embedded.phone_probe import (
    MARGIN,
    MARGIN_END,
    NEVER,
    Floats,
    PhoneProbe,
    best_path,
    frames_of,
    phrase_scores,
)


def some(frames: int, labels: int, seed: int) -> Floats:
    logits = np.random.default_rng(seed).normal(0.0, 2.0, (frames, labels))
    return (logits - np.log(np.exp(logits).sum(1, keepdims=True))).astype(np.float32)


def collapsed(path: tuple[int, ...]) -> Phones:
    """Graves et al. (ICML 2006), section 3.1: merge repeats, then drop the blank."""
    return tuple(label for label, _ in groupby(path) if label)


def by_every_path(log_probs: Floats) -> dict[Phones, float]:
    """Return the probability of each labelling, summed over all paths that collapse to it."""
    totals: dict[Phones, float] = {}
    for path in product(range(log_probs.shape[1]), repeat=len(log_probs)):
        chance = float(np.exp(sum(log_probs[t, label] for t, label in enumerate(path))))
        totals[collapsed(path)] = totals.get(collapsed(path), 0.0) + chance
    return totals


def by_slow_forward(log_probs: Floats, phones: Phones) -> float:
    """Equations 6 to 8 of the same paper, one state at a time, in double precision."""
    labels = [0]
    for phone in phones:
        labels += [phone, 0]
    y = np.exp(log_probs.astype(np.float64))
    alpha = [y[0, labels[0]], y[0, labels[1]]] + [0.0] * (len(labels) - 2)
    for frame in y[1:]:
        before = alpha
        alpha = []
        for s, label in enumerate(labels):
            total = before[s] + (before[s - 1] if s >= 1 else 0.0)
            if s >= 2 and label != 0 and label != labels[s - 2]:
                total += before[s - 2]
            alpha.append(total * frame[label])
    return float(np.log(alpha[-1] + alpha[-2]))


@pytest.mark.parametrize("frames", [1, 2, 3, 4, 5, 6])
@pytest.mark.parametrize("seed", range(4))
def test_scores_are_sums_over_all_paths(frames: int, seed: int) -> None:
    log_probs = some(frames, 4, seed)
    totals = by_every_path(log_probs)
    assert sum(totals.values()) == pytest.approx(1.0, abs=1e-5)
    phrases = [p for p in totals if p]
    found = phrase_scores(log_probs, phrases, exact=len(phrases))
    assert found == pytest.approx(np.log([totals[p] for p in phrases]), abs=1e-4)


def test_a_phrase_that_does_not_fit_into_the_frames_is_impossible() -> None:
    log_probs = some(3, 4, 1)
    # A repeated phone needs a blank between (section 3.1), so (1, 1, 1) needs five frames.
    for phrase in [(1, 2, 3, 1), (1, 1, 1), (1, 1, 2)]:
        assert phrase not in by_every_path(log_probs)
        assert phrase_scores(log_probs, [phrase])[0] < NEVER / 2


@pytest.mark.parametrize("seed", range(5))
def test_scores_agree_with_the_slow_forward_pass(seed: int) -> None:
    rng = np.random.default_rng(seed)
    log_probs = some(60, 40, seed)
    phrases = [tuple(rng.integers(1, 40, n).tolist()) for n in (1, 2, 5, 9, 20)]
    phrases.append((7, 7, 7, 3))
    wanted = [by_slow_forward(log_probs, p) for p in phrases]
    assert phrase_scores(log_probs, phrases) == pytest.approx(wanted, rel=1e-4)


def test_company_changes_nothing_and_the_rest_is_ranked_by_best_alignment() -> None:
    log_probs = some(20, 40, 3)
    rng = np.random.default_rng(3)
    phrases = [tuple(rng.integers(1, 40, 3 + i % 5).tolist()) for i in range(30)]
    exact = phrase_scores(log_probs, phrases, exact=30)
    alone = [float(phrase_scores(log_probs, [p])[0]) for p in phrases]
    assert exact == pytest.approx(alone, abs=1e-3)
    cheap = phrase_scores(log_probs, phrases, exact=5)
    assert np.sum(np.isclose(cheap, exact, atol=1e-3)) >= 5
    assert np.all(cheap <= exact + 1e-3)  # the best path is one of all paths


def test_nothing_to_score_or_nothing_heard() -> None:
    assert phrase_scores(some(3, 4, 1), []).shape == (0,)
    empty = np.zeros((0, 40), np.float32)
    assert phrase_scores(empty, [(1,), (2, 3)]).tolist() == [float(NEVER)] * 2


@pytest.mark.parametrize(
    ("labels", "phones"),
    [
        ([0, 0, 0], ()),
        ([1, 1, 1], (1,)),
        ([0, 1, 1, 0, 1, 2, 2, 0], (1, 1, 2)),
        ([3, 2, 1], (3, 2, 1)),
        ([1, 0, 1], (1, 1)),
    ],
)
def test_best_path_merges_repeats_and_drops_blanks(labels: list[int], phones: Phones) -> None:
    log_probs = np.full((len(labels), 4), -9.0, np.float32)
    log_probs[np.arange(len(labels)), labels] = -0.1
    assert best_path(log_probs) == phones == collapsed(tuple(labels))


@pytest.fixture(scope="module")
def probe() -> PhoneProbe:
    return PhoneProbe.shipped()


@pytest.mark.parametrize("frames", [0, 1, 2, 57])
def test_a_reading_is_a_distribution_for_each_frame(probe: PhoneProbe, frames: int) -> None:
    hidden = np.random.default_rng(5).normal(0, 3, (frames, 288)).astype(np.float32)
    read = probe.read(hidden)
    assert read.shape == (frames, len(PHONES) + 1)
    assert np.all(np.isfinite(read))
    assert np.exp(read).sum(1) == pytest.approx(np.ones(frames), abs=1e-4)


@pytest.mark.parametrize("value", [0.0, 1e-6, 1e4, -1e4])
def test_a_flat_frame_is_read_too(probe: PhoneProbe, value: float) -> None:
    assert np.all(np.isfinite(probe.read(np.full((4, 288), value, np.float32))))


@pytest.mark.parametrize(("frames", "kept"), [(0, 0), (58, 0), (59, 1), (100, 42)])
def test_the_margins_of_silence_are_not_read(frames: int, kept: int) -> None:
    assert MARGIN + MARGIN_END == 58
    hidden = np.arange(frames, dtype=np.float32)[None, :, None] * np.ones((1, 1, 288), np.float32)
    found = frames_of(hidden)
    assert found.shape == (kept, 288)
    assert kept == 0 or found[0, 0] == MARGIN
