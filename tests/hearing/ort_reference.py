"""The same network computed by onnxruntime from the published files, which rounds to 8 bits."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from callout.arithmetic import Floats
from callout.bench.fitting.moonshine_weights import FILES
from callout.hearing.embedded.network import HEAD_SIZE, HEADS, LAYERS, START


class OrtNetwork:
    """Encoder output and the distribution of the first token."""

    def __init__(self, folder: Path) -> None:
        import onnxruntime

        options = onnxruntime.SessionOptions()
        options.log_severity_level = 3
        self._encoder, self._decoder = (
            onnxruntime.InferenceSession(
                str(folder / FILES[part]), options, providers=["CPUExecutionProvider"]
            )
            for part in ("encoder", "decoder")
        )

    def encode(self, audio: Floats) -> tuple[Floats, Floats]:
        """Return (frames, 288) and log-probabilities of the first token, for 16 kHz samples."""
        batch, mask = audio[None], np.ones((1, len(audio)), np.int64)
        (hidden,) = self._encoder.run(None, {"input_values": batch, "attention_mask": mask})
        feed: dict[str, Any] = {
            "encoder_attention_mask": mask,
            "input_ids": np.array([[START]]),
            "encoder_hidden_states": hidden,
            "use_cache_branch": np.array([False]),
        }
        for layer in range(LAYERS):
            for side in ("decoder", "encoder"):
                for what in ("key", "value"):
                    empty = np.zeros((1, HEADS, 0, HEAD_SIZE), np.float32)
                    feed[f"past_key_values.{layer}.{side}.{what}"] = empty
        logits = self._decoder.run(["logits"], feed)[0][0, -1].astype(np.float64)
        return hidden[0], logits - np.log(np.exp(logits).sum())
