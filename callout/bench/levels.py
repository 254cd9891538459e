"""Replies as bad devices and rooms deliver them: offset, faint, clipped, other rates, echo.

Everything here is made from the recordings; no device or room was measured.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from callout.bench.corpora import CorpusRecording
from callout.hearing.resample import ToPort
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate

Floats = NDArray[np.float64]

UNTOUCHED = "untouched"
_ROOM_S = 0.5
_DEVICE_BLOCK_S = 0.02
"""Length of the blocks in which a device gives its sound."""
_SPEECH = 0.05
"""A sample above this share of the peak counts as speech."""


@dataclass(frozen=True, slots=True)
class LevelChange:
    """One thing that a device or room does to a voice."""

    name: str
    make: Callable[[Floats], Floats]
    """Full scale 1.0, mono at 16 kHz, to frames (n, channels) at ``rate``."""
    rate: int = SAMPLE_RATE

    def apply(self, recording: CorpusRecording) -> Samples:
        """Return the recording with room on both sides as the converter of a device gives it."""
        room = np.zeros(round(_ROOM_S * SAMPLE_RATE))
        voice = np.concatenate([room, recording.samples / 32768.0, room])
        frames = np.round(np.clip(self.make(voice), -1.0, 32767 / 32768) * 32768) / 32768
        return _converted(frames.astype(np.float32), self.rate)


def level_changes() -> Iterator[LevelChange]:
    """Yield every change; the first is none."""
    yield LevelChange(UNTOUCHED, _mono)
    for offset in (0.1, 0.3):
        yield LevelChange(f"offset {offset:g} of full scale", partial(_offset, offset=offset))
    for level in (-40, -50):
        yield LevelChange(f"peak at {level} dB", partial(_faint, decibels=level))
    for share in (0.01, 0.05, 0.2):
        yield LevelChange(f"{share:.0%} of the speech clipped", partial(_clipped, share=share))
    for rate in (8_000, 11_025, 22_050, 44_100, 48_000):
        yield LevelChange(f"{rate} Hz", partial(_resampled, rate=rate), rate)
    yield LevelChange("stereo, one channel silent", partial(_stereo, right=0.0))
    yield LevelChange("stereo, both alike", partial(_stereo, right=1.0))
    yield LevelChange("echo of a room", _echo)


def _mono(voice: Floats) -> Floats:
    return voice[:, None]


def _offset(voice: Floats, *, offset: float) -> Floats:
    """Return the voice on an offset; what then goes beyond full scale is lost, as in a device."""
    return _mono(voice + offset)


def _faint(voice: Floats, *, decibels: float) -> Floats:
    return _mono(voice / (np.abs(voice).max() + 1e-9) * 10 ** (decibels / 20))


def _clipped(voice: Floats, *, share: float) -> Floats:
    """Return the voice so loud that a share of the samples that hold speech is limited."""
    size = np.abs(voice)
    speech = size[size > _SPEECH * size.max()]
    return _mono(voice / (np.quantile(speech, 1.0 - share) if speech.size else 1.0))


def _resampled(voice: Floats, *, rate: int) -> Floats:
    return _mono(convert_rate(voice.astype(np.float32), SAMPLE_RATE, rate).astype(np.float64))


def _stereo(voice: Floats, *, right: float) -> Floats:
    return np.stack([voice, right * voice], axis=1)


def _echo(voice: Floats) -> Floats:
    size = np.abs(voice).max()
    heard = np.convolve(voice, impulse_response())[: len(voice)]
    return _mono(heard * size / (np.abs(heard).max() + 1e-9))


def impulse_response(
    decay_s: float = 0.4, metres: float = 2.0, volume: float = 40.0, seed: int = 0
) -> Floats:
    """Return a made room: the direct sound and a tail of noise that falls by 60 dB in ``decay_s``.

    The tail's energy over the direct sound's is (distance / critical distance) squared, with the
    critical distance 0.057 m * sqrt(Q V / T), V in cubic metres, T in seconds and Q = 2 for one who
    faces the microphone (Kuttruff, "Room Acoustics"; both from memory).
    """
    rng = np.random.default_rng(seed)
    t = np.arange(round(1.2 * decay_s * SAMPLE_RATE)) / SAMPLE_RATE
    tail = rng.normal(0.0, 1.0, len(t)) * 10 ** (-3.0 * t / decay_s)
    tail[: round(0.003 * SAMPLE_RATE)] = 0.0  # the first wall is about a metre further
    critical = 0.057 * np.sqrt(2.0 * volume / decay_s)
    tail *= metres / critical / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return np.asarray(tail)


def in_room(voice: Floats, room: Floats) -> Floats:
    """Return a voice in a room, as long as both together; room: its impulse response."""
    size = len(voice) + len(room)
    return np.asarray(np.fft.irfft(np.fft.rfft(voice, size) * np.fft.rfft(room, size), size))


def _converted(frames: NDArray[np.float32], rate: int) -> Samples:
    """Return the frames block by block through the converter that microphones and files use."""
    convert = ToPort(rate)
    step = round(_DEVICE_BLOCK_S * rate)
    parts = [convert.convert(frames[i : i + step]) for i in range(0, len(frames), step)]
    return np.concatenate([*parts, convert.convert(frames[:0], last=True)])
