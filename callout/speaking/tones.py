"""Short tones for match, mismatch and unclear, synthesised."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from callout.core.model.verdict import Verdict

RATE = 48_000
_FADE_S = 0.008
"""Raised-cosine ends: an edge would click."""
_LEVEL = 0.25
_SPEECH_BELOW = 0.35
"""Speech is lowered by this factor (9 dB) while a tone plays over it."""
_EASE_S = 0.01
"""Time for lowering and restoring the speech."""


@dataclass(frozen=True, slots=True)
class Note:
    """One pure note: hertz (0 is a rest) and seconds."""

    hertz: float
    seconds: float


TONES: dict[Verdict, tuple[Note, ...]] = {
    Verdict.MATCH: (Note(784, 0.06), Note(1175, 0.09)),
    Verdict.MISMATCH: (Note(294, 0.16), Note(0, 0.05), Note(294, 0.16)),
    Verdict.UNCLEAR: (Note(523, 0.07), Note(0, 0.03), Note(494, 0.07)),
}
"""Distinguished by rhythm as well as pitch: quick and rising, two long and low, two short and
even.
"""


def verdict_tone(verdict: Verdict) -> NDArray[np.float32]:
    """Return the tone of a verdict as mono samples at RATE, full scale 1.0."""
    return np.concatenate([_note_samples(note) for note in TONES[verdict]])


def tone_over_speech(tone: NDArray[np.float32], rate: int) -> NDArray[np.float32]:
    """Return two rows: the tone with silence on both sides, and the factor for speech meanwhile."""
    ease = round(_EASE_S * rate)
    there = np.linspace(1.0, _SPEECH_BELOW, ease, dtype=np.float32)
    below = np.full(len(tone), _SPEECH_BELOW, np.float32)
    return np.stack([np.pad(tone, ease), np.concatenate([there, below, there[::-1]])])


def _note_samples(note: Note) -> NDArray[np.float32]:
    count = round(note.seconds * RATE)
    if not note.hertz:
        return np.zeros(count, np.float32)
    wave = np.sin(2 * np.pi * note.hertz * np.arange(count) / RATE) * _LEVEL
    fade = min(round(_FADE_S * RATE), count // 2)
    ramp = 0.5 - 0.5 * np.cos(np.pi * (np.arange(fade) + 0.5) / fade)
    wave[:fade] *= ramp
    wave[count - fade :] *= ramp[::-1]
    shaped: NDArray[np.float32] = wave.astype(np.float32)
    return shaped
