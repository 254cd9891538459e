"""Fits the phone reading to a person: a few training steps on the takes they enrolled.

Same loss as for the shipped reading (``callout bench fit``), optimiser of Kingma and Ba, ICLR 2015.
Half of each batch is other words in synthetic voices, shipped with the reading: without them it
begins to hear the enrolled words everywhere (bench/results, own-voice).
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import numpy as np

from callout.arithmetic import kernel_taps, log_softmax
from callout.hearing.embedded.ctc import phone_occupancies
from callout.hearing.embedded.lexicon import Phones
from callout.hearing.embedded.phone_probe import Floats, PhoneProbe, convolve_frames, phrase_scores

STEPS, BATCH, RATE = 30, 32, 5e-4
_MOMENTUM, _SQUARES, _SMALL = 0.9, 0.999, 1e-8
_GAP = 1
"""Empty rows between two utterances, as wide as a convolution reaches."""

Weights = dict[str, Floats]


@dataclass(frozen=True, slots=True)
class SpokenTake:
    """Encoder frames (n, 288) of one take, and the ways the word is pronounced."""

    frames: Floats
    ways: tuple[Phones, ...]


@dataclass(frozen=True, slots=True)
class OtherWords:
    """Encoder frames of synthetic speech (``callout bench fit``): what must not be forgotten."""

    frames: tuple[Floats, ...]
    texts: tuple[str, ...]

    @classmethod
    def shipped(cls) -> OtherWords:
        """Return those in the package."""
        path = resources.files("callout") / "data/hearing/other_words.npz"
        with path.open("rb") as file, np.load(file) as data:
            whole = data["frames"].astype(np.float32) * data["scale"]
            parts = np.split(whole, np.cumsum(data["lengths"])[:-1])
            return cls(tuple(parts), tuple(map(str, data["texts"])))

    def keep(self, path: Path) -> None:
        """Write them with eight bits per value."""
        whole = np.concatenate(self.frames).astype(np.float32)
        scale = np.abs(whole).max(axis=0) / 127.0 + 1e-9
        np.savez_compressed(
            path,
            frames=np.round(whole / scale).astype(np.int8),
            scale=scale,
            lengths=np.array([len(f) for f in self.frames]),
            texts=np.array(self.texts),
        )


def fit_probe(
    probe: PhoneProbe,
    takes: Sequence[SpokenTake],
    others: Sequence[SpokenTake] = (),
    steps: int = STEPS,
) -> PhoneProbe:
    """Return ``probe`` after ``steps`` steps on the takes; seeded, the same for the same takes.

    others: speech for half of each batch, so that it is not forgotten.
    """
    usable, known = _usable_takes(probe, takes), _usable_takes(probe, others)
    if not usable:
        return probe
    chance = random.Random(0)
    weights = {name: value.astype(np.float32) for name, value in probe.weights.items()}
    mean = {name: np.zeros_like(value) for name, value in weights.items()}
    square = {name: np.zeros_like(value) for name, value in weights.items()}
    for step in range(1, steps + 1):
        batch = chance.sample(usable, min(BATCH, len(usable)))
        batch += chance.sample(known, min(BATCH, len(known)))
        for name, slope in _loss_gradient(weights, batch).items():
            mean[name] = _MOMENTUM * mean[name] + (1 - _MOMENTUM) * slope
            square[name] = _SQUARES * square[name] + (1 - _SQUARES) * slope**2
            moved = mean[name] / (1 - _MOMENTUM**step)
            spread = np.sqrt(square[name] / (1 - _SQUARES**step)) + _SMALL
            weights[name] = weights[name] - RATE * moved / spread
    return PhoneProbe(weights)


def _usable_takes(probe: PhoneProbe, takes: Sequence[SpokenTake]) -> list[tuple[Floats, Phones]]:
    """Return the takes with enough frames for their phones."""
    pairs = [
        _likeliest_pronunciation(probe, take) for take in takes if take.ways and len(take.frames)
    ]
    return [(frames, said) for frames, said in pairs if len(frames) > 2 * len(said)]


def _likeliest_pronunciation(probe: PhoneProbe, take: SpokenTake) -> tuple[Floats, Phones]:
    """Return the take with the pronunciation that the shipped reading finds in it."""
    scores = phrase_scores(probe.read(take.frames), take.ways)
    return take.frames, take.ways[int(scores.argmax())]


def _loss_gradient(w: Weights, batch: Sequence[tuple[Floats, Phones]]) -> Weights:
    """Return the gradient of the mean loss per phone; all utterances are processed as one."""
    lengths = [len(frames) for frames, _ in batch]
    hidden, kept, starts = _laid_out([frames for frames, _ in batch])
    middle = hidden - hidden.mean(-1, keepdims=True)
    spread = np.sqrt((middle**2).mean(-1, keepdims=True) + 1e-5)
    plain = middle / spread * kept
    x = (plain * w["ln.weight"] + w["ln.bias"]) * kept
    one = np.maximum(convolve_frames(x, w["c.weight"], w["c.bias"]), 0.0) * kept
    two = np.maximum(convolve_frames(one, w["c2.weight"], w["c2.bias"]), 0.0) * kept
    logits = two @ w["o.weight"].T + w["o.bias"]
    back = _loss_slope(logits, lengths, starts, [said for _, said in batch])
    found = {"o.weight": back.T @ two, "o.bias": back.sum(0)}
    back = (back @ w["o.weight"]) * (two > 0)
    found |= {"c2.weight": _kernel_slope(one, back), "c2.bias": back.sum(0)}
    back = _back_across(back, w["c2.weight"]) * (one > 0)
    found |= {"c.weight": _kernel_slope(x, back), "c.bias": back.sum(0)}
    back = _back_across(back, w["c.weight"]) * kept
    return found | {"ln.weight": (back * plain).sum(0), "ln.bias": back.sum(0)}


def _laid_out(utterances: Sequence[Floats]) -> tuple[Floats, Floats, list[int]]:
    """Return all frames in one sheet with gaps, a column that is 0 in the gaps, and the starts."""
    gap = np.zeros((_GAP, utterances[0].shape[1]), np.float32)
    starts, rows, at = [], [gap], _GAP
    for frames in utterances:
        starts.append(at)
        rows += [frames.astype(np.float32), gap]
        at += len(frames) + _GAP
    kept = np.zeros((at, 1), np.float32)
    for start, frames in zip(starts, utterances, strict=True):
        kept[start : start + len(frames)] = 1.0
    return np.concatenate(rows), kept, starts


def _loss_slope(
    logits: Floats, lengths: Sequence[int], starts: Sequence[int], said: Sequence[Phones]
) -> Floats:
    log_probs = log_softmax(logits)
    padded = np.zeros((len(lengths), max(lengths), logits.shape[1]), np.float32)
    for row, (start, length) in enumerate(zip(starts, lengths, strict=True)):
        padded[row, :length] = log_probs[start : start + length]
    shares = phone_occupancies(padded, lengths, said)
    slope = np.zeros_like(logits)
    for row, (start, length) in enumerate(zip(starts, lengths, strict=True)):
        part = np.exp(log_probs[start : start + length]) - shares[row, :length]
        slope[start : start + length] = part / (len(said[row]) * len(said))
    return slope


def _back_across(back: Floats, kernel: Floats) -> Floats:
    padded = np.pad(back, ((1, 1), (0, 0)))
    taps = kernel_taps(kernel)
    return np.asarray(sum(padded[2 - i : 2 - i + len(back)] @ taps[i] for i in range(3)))


def _kernel_slope(x: Floats, back: Floats) -> Floats:
    padded = np.pad(x, ((1, 1), (0, 0)))
    return np.stack([back.T @ padded[i : i + len(x)] for i in range(3)], axis=2)
