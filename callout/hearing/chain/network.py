"""The chain model's network: time-delay layers whose matrices are products of two thin ones.

After Povey and others, "Semi-orthogonal low-rank matrix factorization for deep neural networks"
(2018). Its output is a log-likelihood for each state of a phone in its context, every 30 ms.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import Floats, product, shipped_arrays
from callout.hearing.chain.cepstra import SpeakerModel, cepstra
from callout.ports.hearing import SAMPLE_RATE, Samples

FILE = "data/hearing/chain.npz"
LAYERS = range(2, 13)
EDGE = 30
"""Copies of the first and of the last frame around an utterance; the network looks 26 back."""
STEP = 3
"""Frames of 10 ms for each output."""
BYPASS = np.float32(0.75)
LONGEST_S = 12.0


@dataclass(frozen=True, slots=True)
class ChainNetwork:
    """The network and the speaker model, with weights as 32-bit numbers."""

    weights: Mapping[str, Floats]
    offsets: Mapping[str, tuple[int, ...]]
    speaker: SpeakerModel

    @classmethod
    def of(cls, arrays: Mapping[str, NDArray[Any]]) -> ChainNetwork:
        """Return the network from the arrays of the package's file."""
        own = {k: v for k, v in arrays.items() if not k.startswith(("speaker.", "context", "ph"))}
        offsets = {k: tuple(map(int, v)) for k, v in own.items() if k.endswith(".offsets")}
        weights = {k: np.asarray(v, np.float32) for k, v in own.items() if k not in offsets}
        return cls(weights, offsets, SpeakerModel.of(arrays))

    def read(self, samples: Samples) -> Floats:
        """Return log-likelihoods (outputs, states) of one utterance, 16-bit mono at 16 kHz."""
        frames = cepstra(samples[: int(LONGEST_S * SAMPLE_RATE)])
        if not len(frames):
            return np.zeros((0, len(self.weights["output.bias"])), np.float32)
        return self._outputs(frames, self.speaker.vector(frames))

    def _outputs(self, frames: Floats, vector: Floats) -> Floats:
        w = self.weights
        x = np.concatenate(
            [np.repeat(frames[:1], EDGE, 0), frames, np.repeat(frames[-1:], EDGE, 0)]
        )
        at = x[2:-2]
        change, bend = x[3:-1] - x[1:-3], x[:-4] + x[4:] - 2 * at
        told = np.concatenate([at, change, bend], 1) * w["delta.scale"] + w["delta.offset"]
        x = np.concatenate([told, np.repeat(vector[None], len(told), 0)], 1)
        x = self._activated(product(x, w["tdnn1.weight"]) + w["tdnn1.bias"], "tdnn1", "")
        first = EDGE - 2
        for layer in LAYERS:
            x, moved = self._layer(x, f"tdnnf{layer}")
            first -= moved
        x = product(x[first : first + len(frames) : STEP], w["prefinal"])
        x = self._activated(product(x, w["chain.affine"]) + w["chain.bias"], "chain", "1")
        x = product(x, w["chain.linear"]) * w["chain.scale2"] + w["chain.offset2"]
        out: Floats = product(x, w["output.weight"]) + w["output.bias"]
        return out

    def _layer(self, x: Floats, name: str) -> tuple[Floats, int]:
        """Return the layer's output, and how many frames it starts later than its input."""
        thin, early = self._delayed(x, name + ".linear")
        wide, later = self._delayed(thin, name + ".affine")
        moved = early + later
        kept = x[moved : moved + len(wide)]
        return BYPASS * kept + self._activated(wide + self.weights[name + ".bias"], name, ""), moved

    def _delayed(self, x: Floats, name: str) -> tuple[Floats, int]:
        """Return the product with the frames at the layer's offsets side by side."""
        offsets = self.offsets[name + ".offsets"]
        count = len(x) - (max(offsets) - min(offsets))
        parts = [x[o - min(offsets) : o - min(offsets) + count] for o in offsets]
        return product(np.concatenate(parts, 1), self.weights[name]), -min(offsets)

    def _activated(self, x: Floats, name: str, mark: str) -> Floats:
        scale, offset = self.weights[f"{name}.scale{mark}"], self.weights[f"{name}.offset{mark}"]
        out: Floats = np.maximum(x, 0) * scale + offset
        return out


def shipped() -> Mapping[str, NDArray[Any]]:
    """Return the arrays of the package's file."""
    return shipped_arrays(FILE, "the third opinion's")
