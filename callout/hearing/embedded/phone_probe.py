"""A second reading: phones taken directly from the encoder, with no language model in between.

The network's decoder weighs words by how likely they are in ordinary talk, so it tends to hear
"yes" rather than "off". This small reader was trained (``callout bench fit``) to name the phones in
the encoder's frames; connectionist temporal classification (Graves et al., ICML 2006) turns its
frame probabilities into the probability of a phrase's pronunciation.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import kernel_taps, layer_norm, log_softmax, shipped_arrays
from callout.hearing.embedded.lexicon import Phones
from callout.hearing.embedded.phone_tree import NEVER, PhoneTree, tree_of_sounds

Floats = NDArray[np.float32]

MARGIN = 30
"""Encoder frames, from the silence around an utterance, that are not read at its start ..."""
MARGIN_END = 28
"""... and at its end."""


@dataclass(frozen=True, slots=True)
class PhoneProbe:
    """Layer norm, two convolutions over three frames, one linear layer; float32 at run time."""

    weights: dict[str, Floats]

    @classmethod
    def shipped(cls) -> PhoneProbe:
        """Return the probe in the package (float16 on disk)."""
        arrays = shipped_arrays("data/hearing/phones.npz", "the phone reading's")
        return cls({name: values.astype(np.float32) for name, values in arrays.items()})

    @property
    def mark(self) -> str:
        """Identifies these weights."""
        parts = (name.encode() + w.tobytes() for name, w in sorted(self.weights.items()))
        return f"{crc32(b''.join(parts)):08x}"

    def moved(self, moves: Sequence[Mapping[str, Floats]]) -> PhoneProbe:
        """Return the probe changed by the mean of ``moves``, by layer."""
        if not moves:
            return self
        means = {n: np.mean([m[n] for m in moves], axis=0) for n in self.weights}
        return PhoneProbe({n: w + means[n] for n, w in self.weights.items()})

    def read(self, hidden: Floats) -> Floats:
        """Return log-probabilities (frames, phones + 1) of encoder frames (frames, 288)."""
        w = self.weights
        x: Floats = layer_norm(hidden, w["ln.weight"]) + w["ln.bias"]
        x = np.maximum(convolve_frames(x, w["c.weight"], w["c.bias"]), 0.0)
        x = np.maximum(convolve_frames(x, w["c2.weight"], w["c2.bias"]), 0.0)
        return log_softmax(x @ w["o.weight"].T + w["o.bias"])


def frames_of(hidden: Floats) -> Floats:
    """Return the frames of the utterance itself from encoder output (1, frames, 288)."""
    kept: Floats = hidden[0][MARGIN : hidden.shape[1] - MARGIN_END]
    return kept


def convolve_frames(x: Floats, kernel: Floats, bias: Floats) -> Floats:
    """Convolve (frames, in) with a kernel (out, in, 3), zero-padded."""
    padded = np.pad(x, ((1, 1), (0, 0)))
    taps = kernel_taps(kernel)
    out = bias + sum(padded[i : i + len(x)] @ taps[i].T for i in range(3))
    return np.asarray(out, np.float32)


def best_path(log_probs: Floats) -> tuple[int, ...]:
    """Return the phones of the likeliest frame labels, without repeats and "no phone"."""
    labels = log_probs.argmax(1).tolist()
    before = [0, *labels[:-1]]
    return tuple(a for a, b in zip(labels, before, strict=True) if a != b and a != 0)


def phrase_scores(
    log_probs: Floats,
    phrases: Sequence[Phones],
    exact: int = 24,
    besides: Sequence[Phones] = (),
) -> Floats:
    """Return the natural-log probability of each pronunciation, and of each of ``besides``.

    log_probs: (frames, phones + 1), number 0 being "no phone". All are ranked by their best
    alignment, which is cheap, above all for the same phrases again; the leading ``exact`` are then
    summed over all alignments (forward algorithm of the cited paper, section 4.1).
    """
    everything = (*phrases, *besides)
    if not everything or not len(log_probs):
        return np.full(len(everything), NEVER, np.float32)
    trees = [tree_of_sounds(tuple(phrases)), PhoneTree.of(besides)]
    scores = np.concatenate([tree.best_alignments(log_probs) for tree in trees])
    leading = np.argsort(-scores)[:exact]
    scores[leading] = _all_alignments(log_probs, [everything[i] for i in leading])
    return scores


def _all_alignments(log_probs: Floats, phrases: Sequence[Phones]) -> Floats:
    states, skip, last = phone_lattice(phrases)
    emitted = log_probs[:, states.T]
    blocked = np.where(skip.T, np.float32(0), NEVER)
    # Two rows that are never reached precede the first state, so that no edge is a special case.
    ahead = np.full((len(blocked) + 2, len(phrases)), NEVER, np.float32)
    now, over = np.empty_like(blocked), np.empty_like(blocked)
    here, before, further = ahead[2:], ahead[1:-1], ahead[:-2]
    here[:2] = emitted[0, :2]
    for frame in emitted[1:]:
        np.logaddexp(here, before, out=now)
        np.add(further, blocked, out=over)
        np.logaddexp(now, over, out=now)
        np.add(now, frame, out=here)
    rows = np.arange(len(phrases))
    ends: Floats = np.logaddexp(here[last, rows], here[last - 1, rows])
    return ends


def phone_lattice(
    phrases: Sequence[Phones],
) -> tuple[NDArray[np.int64], NDArray[np.bool_], NDArray[np.int64]]:
    """Return the phones of each phrase with "no phone" between and around them.

    Three arrays: states (phrases, 2 * longest + 1), padded with "no phone"; whether each may be
    reached from the one two places before; the place of each phrase's last state.
    """
    width = 2 * max(len(p) for p in phrases) + 1
    states = np.zeros((len(phrases), width), np.int64)
    for row, phones in enumerate(phrases):
        states[row, 1 : 2 * len(phones) : 2] = phones
    skip = np.zeros(states.shape, np.bool_)
    skip[:, 2:] = (states[:, 2:] != 0) & (states[:, 2:] != states[:, :-2])
    last = np.array([2 * len(p) for p in phrases], np.int64)
    return states, skip, last
