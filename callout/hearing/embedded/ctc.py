"""How much of each frame belongs to each phone, given the phones that were said.

Forward-backward algorithm of connectionist temporal classification (Graves et al., ICML 2006,
section 4); the backward pass is the forward pass over frames and phones turned round.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from callout.hearing.embedded.lexicon import Phones
from callout.hearing.embedded.phone_probe import Floats, phone_lattice
from callout.hearing.embedded.phone_tree import NEVER

Whole = NDArray[np.int64]
Doubles = NDArray[np.float64]


def phone_occupancies(log_probs: Floats, lengths: Sequence[int], said: Sequence[Phones]) -> Floats:
    """Return the share of each phone in each frame, (utterances, frames, phones + 1).

    log_probs: (utterances, frames, phones + 1), number 0 being "no phone"; only the first
    ``lengths`` frames of an utterance count, the rest are returned as zeros. Utterances too short
    for their phones are returned as all zeros.
    """
    states, skip, last = phone_lattice(said)
    frames, widths = np.array(lengths), last + 1
    emitted = _state_emissions(log_probs, states)
    ahead = _forward_pass(emitted, skip)
    turned = _reversed_values(emitted, frames, widths)
    back = _forward_pass(turned, _turned_skip(skip, widths))
    joined = ahead + _reversed_values(back, frames, widths) - emitted
    outside = np.arange(states.shape[1])[None, :] > last[:, None]
    joined[:, outside] = NEVER
    joined[np.arange(len(log_probs[0]))[:, None] >= frames[None, :]] = NEVER
    total = np.logaddexp.reduce(joined, axis=-1, keepdims=True)
    shares = np.where(total > NEVER / 2, np.exp(joined - total), 0.0)
    which = np.eye(log_probs.shape[-1], dtype=np.float32)[states]
    return np.asarray(np.einsum("tus,usp->utp", shares, which), np.float32)


def _state_emissions(log_probs: Floats, states: Whole) -> Doubles:
    """Return the log-probability of each state in each frame, (frames, utterances, states)."""
    by_utterance = np.take_along_axis(log_probs, states[:, None, :], axis=2)
    return np.asarray(by_utterance.transpose(1, 0, 2), np.float64)


def _forward_pass(emitted: Doubles, skip: NDArray[np.bool_]) -> Doubles:
    alpha = np.full(emitted.shape, NEVER, np.float64)
    alpha[0, :, :2] = emitted[0, :, :2]
    blocked = np.where(skip[:, 2:], 0.0, NEVER)
    for at in range(1, len(emitted)):
        before = alpha[at - 1]
        now = before.copy()
        now[:, 1:] = np.logaddexp(now[:, 1:], before[:, :-1])
        now[:, 2:] = np.logaddexp(now[:, 2:], before[:, :-2] + blocked)
        alpha[at] = np.maximum(now + emitted[at], NEVER)
    return alpha


def _reversed_values(values: Doubles, frames: Whole, widths: Whole) -> Doubles:
    """Return each utterance with its frames and its states reversed; padding stays at the end."""
    times, _, states = values.shape
    when = _reversed_places(frames, times)
    which = _reversed_places(widths, states)
    utterance = np.arange(len(frames))
    return np.asarray(values[when.T[:, :, None], utterance[None, :, None], which[None, :, :]])


def _turned_skip(skip: NDArray[np.bool_], widths: Whole) -> NDArray[np.bool_]:
    """Return which states may be reached over a blank in reverse: from two places further on."""
    from_here = np.zeros_like(skip)
    from_here[:, :-2] = skip[:, 2:]
    return np.take_along_axis(from_here, _reversed_places(widths, skip.shape[1]), axis=1)


def _reversed_places(lengths: Whole, width: int) -> Whole:
    """Return, for each length, the places 0 ... width - 1 with the first ``length`` reversed."""
    places = np.arange(width)[None, :]
    inside = places < lengths[:, None]
    return np.where(inside, lengths[:, None] - 1 - places, places)
