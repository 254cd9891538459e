"""The same model computed by CTranslate2, as a reference for our own sums."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from callout.arithmetic import Floats
from callout.hearing.second_opinion.network import START


class ReferenceNetwork:
    """Encoder output, and the probability of each token of a text that is given."""

    def __init__(self, folder: Path) -> None:
        import ctranslate2

        self._make = ctranslate2.StorageView.from_array
        self._model = ctranslate2.models.Whisper(
            str(folder), device="cpu", compute_type="float32", intra_threads=1
        )

    def encode(self, bands: Floats) -> Floats:
        """Return (frames / 2, 384) for a spectrogram (frames, 80)."""
        hidden = self._model.encode(self._make(np.ascontiguousarray(bands.T[None])))
        return np.array(hidden)[0]

    def chances(self, hidden: Floats, tokens: tuple[int, ...], frames: int) -> list[float]:
        """Return the log-probability of each token after those before it."""
        view = self._make(np.ascontiguousarray(hidden[None]))
        (aligned,) = self._model.align(view, [START], [list(tokens)], [frames])
        return [float(np.log(p)) for p in aligned.text_token_probs]
