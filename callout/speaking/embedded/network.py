"""The voice's network: symbol numbers in, spectra and pitch out.

Two networks of one design (Kokoro's student hibari, Apache-2.0): one for the length and pitch of
each symbol, one for its sound. The published file rounds activations to 8 bits in between; nothing
is rounded here, and no runtime is needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from callout.arithmetic import Floats, attend_values, gelu, layer_norm, sliding_windows
from callout.speaking.embedded.weights import VoiceWeights

BINS = 601
_HEADS = 2
_PROSODY_ROUNDS, _SOUND_ROUNDS = 6, 4
"""How often a text passes through its network's one attention block."""
_DILATIONS = (1, 2, 4, 8, 1, 2)
_PITCH, _ENERGY, _SHRUNK = 100.0, 5.0, 5.0
"""Units of the output pitch and loudness, and their scale factors on input."""


@dataclass(frozen=True, slots=True)
class Spectra:
    """What is to be heard, one row per frame of 12.5 ms: log magnitudes, angles, pitch."""

    harmonic: Floats
    angle: Floats
    noise: Floats
    free: Floats
    phase: Floats
    """Each of shape (frames, BINS)."""
    pitch: Floats
    """Hertz, (frames,); below 40 if unvoiced."""


class VoiceNetwork:
    """Computes spectra; holds 32-bit copies of the matrices."""

    def __init__(self, weights: VoiceWeights) -> None:
        self._prosody = _Reader(weights, "prosody.text", _PROSODY_ROUNDS)
        self._sound = _Reader(weights, "sound.text", _SOUND_ROUNDS)
        self._length = [_Convolution(weights, f"prosody.dur.{n}") for n in (0, 2)]
        self._curves = [_Block(weights, f"prosody.pro.{n}", d) for n, d in enumerate(_DILATIONS)]
        self._curve_ends = [_Convolution(weights, f"prosody.pro_{n}") for n in ("in", "out")]
        self._begin = _Convolution(weights, "sound.dec_in")
        self._blocks = [_Block(weights, f"sound.dec.{n}") for n in range(8)]
        self._norm = _Norm(weights, "sound.dec_norm")
        self._head = _Product(weights, "sound.head")

    def spectra(self, signs: Sequence[int], speed: float) -> Spectra:
        """Return the spectra of symbols (numbers); speed: 1.0 as trained, 2.0 twice as fast."""
        numbers = np.asarray(signs)
        prosody, sound = self._prosody(numbers), self._sound(numbers)
        first, last = self._length
        told = last(gelu(first(prosody)))[:, 0]
        frames = np.maximum(1, np.round((np.exp(told) - 1) / speed)).astype(int)
        where = np.repeat(np.arange(len(numbers)), frames)
        pitch, energy = self._curve(prosody[where])
        level = np.log(1 + np.maximum(pitch, 0)) / _SHRUNK, energy / _SHRUNK
        x = np.column_stack([np.repeat(sound[where], 2, axis=0), *level]).astype(np.float32)
        x = self._begin(x)
        for block in self._blocks:
            x = block(x)
        harmonic, angle, noise, free, phase = np.split(self._head(self._norm(x)), 5, axis=1)
        return Spectra(harmonic, angle, noise, free, phase, pitch)

    def _curve(self, x: Floats) -> tuple[Floats, Floats]:
        """Return pitch and loudness, two of each for every input frame."""
        begin, end = self._curve_ends
        x = begin(x)
        for block in self._curves:
            x = block(x)
        out = end(x)
        return out[:, :2].ravel() * _PITCH, out[:, 2:].ravel() * _ENERGY


class _Norm:
    def __init__(self, weights: VoiceWeights, name: str) -> None:
        self._scale = weights.plain(f"{name}.weight")
        self._shift = weights.plain(f"{name}.bias")

    def __call__(self, x: Floats) -> Floats:
        return layer_norm(x, self._scale) + self._shift


class _Product:
    def __init__(self, weights: VoiceWeights, name: str, joint: str = ".") -> None:
        self._matrix = weights.matrix(name)
        self._bias = weights.plain(f"{name}{joint}bias")

    def __call__(self, x: Floats) -> Floats:
        result: Floats = x @ self._matrix + self._bias
        return result


class _Convolution:
    """Over time, (n, channels) to (n, channels), padded to keep n."""

    def __init__(self, weights: VoiceWeights, name: str) -> None:
        kernel = weights.plain(f"{name}.weight")  # out, in, width
        self._width = kernel.shape[2]
        self._matrix = np.ascontiguousarray(kernel.transpose(2, 1, 0).reshape(-1, len(kernel)))
        self._bias = weights.plain(f"{name}.bias")

    def __call__(self, x: Floats) -> Floats:
        side = self._width // 2
        seen = sliding_windows(np.pad(x, ((side, side), (0, 0))), self._width, 1)
        result: Floats = seen @ self._matrix + self._bias
        return result


class _Block:
    """Each channel over time, then all channels of a moment, added to the input."""

    def __init__(self, weights: VoiceWeights, name: str, dilation: int = 1) -> None:
        self._kernel = np.ascontiguousarray(weights.plain(f"{name}.dw.weight")[:, 0].T)
        self._bias = weights.plain(f"{name}.dw.bias")
        self._step = dilation
        self._norm = _Norm(weights, f"{name}.norm")
        self._up, self._down = (_Product(weights, f"{name}.pw{n}") for n in (1, 2))
        self._share = weights.plain(f"{name}.gamma")

    def __call__(self, x: Floats) -> Floats:
        side = len(self._kernel) // 2 * self._step
        padded = np.pad(x, ((side, side), (0, 0)))
        seen = np.broadcast_to(self._bias, x.shape).copy()
        for n, tap in enumerate(self._kernel):
            seen += padded[n * self._step : n * self._step + len(x)] * tap
        result: Floats = x + self._down(gelu(self._up(self._norm(seen)))) * self._share
        return result


class _Reader:
    """Symbols to (symbols, channels): two blocks, then one attention block several times."""

    def __init__(self, weights: VoiceWeights, name: str, rounds: int) -> None:
        self._signs = weights.plain(f"{name}.emb.weight")
        self._blocks = [_Block(weights, f"{name}.convs.{n}") for n in (0, 1)]
        inner = f"{name}.attn"
        self._before, self._between = (_Norm(weights, f"{inner}.norm{n}") for n in (1, 2))
        self._asked = _Product(weights, f"{inner}.self_attn.in_proj", "_")
        self._answer = _Product(weights, f"{inner}.self_attn.out_proj")
        self._up, self._down = (_Product(weights, f"{inner}.linear{n}") for n in (1, 2))
        self._norm = _Norm(weights, f"{name}.norm")
        self._rounds = rounds

    def __call__(self, numbers: np.typing.NDArray[np.int_]) -> Floats:
        x: Floats = self._signs[numbers]
        for block in self._blocks:
            x = block(x)
        for _ in range(self._rounds):
            x = self._attend(x)
        return self._norm(x)

    def _attend(self, x: Floats) -> Floats:
        asked = self._asked(self._before(x)).reshape(len(x), 3, _HEADS, -1)
        q, k, v = asked.transpose(1, 2, 0, 3)
        x = x + self._answer(attend_values(q, k, v).transpose(1, 0, 2).reshape(x.shape))
        return x + self._down(gelu(self._up(self._between(x))))
