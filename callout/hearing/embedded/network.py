"""The network's two graphs, run by onnxruntime."""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.errors import EngineUnavailable, ModelNotFound

Floats = NDArray[np.float32]

LAYERS = 6
HEADS = 8
HEAD_SIZE = 36
MOST_ROWS = 24
"""Prefixes that pass through the decoder at once."""
START = 1
END = 2
FILES = ("encoder_model.ort", "decoder_model_merged.ort", "tokenizer.bin")
INSTALL = "pip install moonshine-voice==0.1.0"


@dataclass(frozen=True, slots=True)
class Encoded:
    """One recording as the decoder sees it."""

    hidden: Floats
    """Encoder output, shape (1, frames, 288)."""
    samples: int
    """Length in samples: the decoder's mask is as long as the audio, not as the frames."""
    cross: dict[str, Floats]
    """Cross-attention keys and values, computed once and shared by every phrase."""


@dataclass(frozen=True, slots=True)
class Rows:
    """Decoder state of a batch of prefixes of one length."""

    log_probs: Floats
    """Log-probability of each next token, shape (batch, vocabulary)."""
    cache: tuple[tuple[Floats, Floats], ...]
    """Self-attention keys and values per layer, each (batch, heads, length, head size)."""


def weights_folder() -> Path:
    """Return the folder with the embedded weights.

    Raises ModelNotFound, with the install command, if the wheel that carries them is missing.
    """
    spec = importlib.util.find_spec("moonshine_voice")
    if spec is None or spec.origin is None:
        raise ModelNotFound("the embedded recogniser's weights are not installed.", INSTALL)
    folder = Path(spec.origin).parent / "assets" / "tiny-en"
    missing = [name for name in FILES if not (folder / name).is_file()]
    if missing:
        raise ModelNotFound(f"the embedded weights lack {', '.join(missing)}.", INSTALL)
    return folder


class Network:
    """Encoder and decoder sessions, loaded once."""

    def __init__(self, folder: Path, threads: int = 2) -> None:
        try:
            import onnxruntime as ort
        except ImportError as error:
            raise EngineUnavailable(
                "onnxruntime is not installed.", "pip install onnxruntime"
            ) from error
        options = ort.SessionOptions()
        options.intra_op_num_threads = threads
        options.log_severity_level = 3
        options.enable_cpu_mem_arena = False  # the arena keeps the peak of every batch for good
        cpu = ["CPUExecutionProvider"]
        self._encoder: Any = ort.InferenceSession(str(folder / FILES[0]), options, providers=cpu)
        self._decoder: Any = ort.InferenceSession(str(folder / FILES[1]), options, providers=cpu)
        self._outputs = [o.name for o in self._decoder.get_outputs()]

    def encode(self, audio: Floats) -> tuple[Encoded, Rows]:
        """Encode mono 16 kHz samples in -1..1 and return the state before the first token.

        ``audio`` must be at least 0.1 s long.
        """
        batch = audio[None].astype(np.float32)
        mask = np.ones(batch.shape, np.int64)
        (hidden,) = self._encoder.run(None, {"input_values": batch, "attention_mask": mask})
        empty = np.zeros((1, HEADS, 0, HEAD_SIZE), np.float32)
        past = {_key("past_key_values", i, a, b): empty for i, a, b in _slots()}
        out = self._decode([START], hidden, len(audio), past, first=True)
        cross = {
            _key("past_key_values", i, "encoder", b): out[_key("present", i, "encoder", b)]
            for i in range(LAYERS)
            for b in ("key", "value")
        }
        return Encoded(hidden, len(audio), cross), _rows(out)

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        """Append one token to each prefix of ``rows``; both have the same batch size.

        A large batch is run in parts, so that its memory stays bounded.
        """
        if len(tokens) <= MOST_ROWS:
            return self._step(encoded, tokens, rows)
        parts = [
            self._step(encoded, tokens[at : at + MOST_ROWS], _part(rows, at))
            for at in range(0, len(tokens), MOST_ROWS)
        ]
        cache = tuple(
            (
                np.concatenate([p.cache[i][0] for p in parts]),
                np.concatenate([p.cache[i][1] for p in parts]),
            )
            for i in range(LAYERS)
        )
        return Rows(np.concatenate([p.log_probs for p in parts]), cache)

    def _step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        batch = len(tokens)
        past = {
            name: np.broadcast_to(kept, (batch, *kept.shape[1:]))
            for name, kept in encoded.cross.items()
        }
        for i, (keys, values) in enumerate(rows.cache):
            past[_key("past_key_values", i, "decoder", "key")] = keys
            past[_key("past_key_values", i, "decoder", "value")] = values
        hidden = np.broadcast_to(encoded.hidden, (batch, *encoded.hidden.shape[1:]))
        return _rows(self._decode(tokens, hidden, encoded.samples, past, first=False))

    def _decode(
        self, tokens: list[int], hidden: Floats, samples: int, past: dict[str, Any], *, first: bool
    ) -> dict[str, Floats]:
        feed = {
            "encoder_attention_mask": np.ones((len(tokens), samples), np.int64),
            "input_ids": np.array(tokens, np.int64)[:, None],
            "encoder_hidden_states": hidden,
            "use_cache_branch": np.array([not first]),
            **past,
        }
        return dict(zip(self._outputs, self._decoder.run(None, feed), strict=True))


def select(rows: Rows, which: list[int]) -> Rows:
    """Return the given rows of a batch, in that order, repeats allowed."""
    return Rows(rows.log_probs[which], tuple((k[which], v[which]) for k, v in rows.cache))


def _part(rows: Rows, at: int) -> Rows:
    here = slice(at, at + MOST_ROWS)
    return Rows(rows.log_probs[here], tuple((k[here], v[here]) for k, v in rows.cache))


def _rows(out: dict[str, Floats]) -> Rows:
    cache = tuple(
        (out[_key("present", i, "decoder", "key")], out[_key("present", i, "decoder", "value")])
        for i in range(LAYERS)
    )
    return Rows(_log_softmax(out["logits"][:, -1]), cache)


def _log_softmax(logits: Floats) -> Floats:
    shifted: Floats = logits - logits.max(-1, keepdims=True)
    result: Floats = shifted - np.log(np.exp(shifted).sum(-1, keepdims=True))
    return result


def _key(kind: str, layer: int, attention: str, what: str) -> str:
    return f"{kind}.{layer}.{attention}.{what}"


def _slots() -> list[tuple[int, str, str]]:
    return [
        (i, a, b) for i in range(LAYERS) for a in ("decoder", "encoder") for b in ("key", "value")
    ]
