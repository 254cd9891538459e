"""Simulated rooms in which the tool's voice comes back to its own microphone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from callout.bench.corpora import Floats
from callout.bench.levels import in_room
from callout.hearing.echo_canceller import STEP, EchoCanceller
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate


@dataclass(frozen=True, slots=True)
class Room:
    """A path from speaker to microphone: delay and reverberation in seconds, drift in ppm."""

    delay: float
    reverberation: float
    drift: float = 0.0
    gain: float = 0.3

    @property
    def name(self) -> str:
        """Its description."""
        late = f"{self.delay * 1000:.0f} ms late, RT60 {self.reverberation:g} s"
        return f"{late}, clocks {self.drift:g} ppm apart" if self.drift else late

    def heard(self, played: Floats | Samples) -> Samples:
        """Return what the microphone hears of what is played, with some hiss; as long."""
        chance = np.random.default_rng(1)
        count = round(self.reverberation * SAMPLE_RATE)
        way = chance.normal(0, 1, count) * 10 ** (-3 * np.arange(count) / count)
        way *= 0.5 / np.sqrt(np.sum(way**2))
        way[0] = 1.0
        sound = np.asarray(played, np.float32)
        if self.drift:
            sound = convert_rate(sound, SAMPLE_RATE, SAMPLE_RATE * (1 + self.drift * 1e-6))
        late = np.concatenate([np.zeros(round(self.delay * SAMPLE_RATE)), sound])[: len(played)]
        echo = in_room(late, way)[: len(late)]
        whole = np.zeros(len(played))
        whole[: len(echo)] = echo * self.gain
        noise = chance.normal(0, 5, len(whole))
        result: Samples = np.clip(np.round(whole + noise), -32_768, 32_767).astype(np.int16)
        return result


ROOMS = tuple(
    Room(delay, reverberation, drift)
    for delay in (0.02, 0.1, 0.25)
    for reverberation in (0.3, 0.6)
    for drift in (0.0, 100.0)
)


@dataclass(frozen=True, slots=True)
class EchoLeft:
    """What is left of the voice once the path is known, and the reduction in dB."""

    samples: Samples
    removed_db: float


def echo_left(room: Room, texts: Sequence[Samples]) -> EchoLeft:
    """Return what cancelling leaves of the last half of ``texts``, said with a second between."""
    pause = np.zeros(SAMPLE_RATE, np.int16)
    played = np.concatenate([part for text in texts for part in (text, pause)])
    played = played[: len(played) // STEP * STEP]
    heard, canceller = room.heard(played), EchoCanceller()
    left = canceller.take(heard, played)
    half = len(left) // 2
    before, after = (float(np.mean(x[half:].astype(np.float64) ** 2)) for x in (heard, left))
    return EchoLeft(left, 10 * float(np.log10(before / after)))
