"""When the samples that a source gives were captured, however late they are dealt with."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

from callout.hearing.level import Level
from callout.ports.hearing import SAMPLE_RATE, AudioSource, Samples

MOST_LAG_S = 2.0
"""A capture time that is further back than this is a driver's invention."""


@dataclass(frozen=True, slots=True)
class Block:
    """A block of a live source, as it came."""

    samples: Samples
    level: Level
    """At the device."""
    at: float
    """``time.monotonic`` at which the last of it was captured."""


def time_of_block(source: AudioSource) -> float:
    """Return when the block that a source has just given was captured; now where it cannot say."""
    return getattr(source, "captured_at", 0.0) or time.monotonic()


def captured_at(when: Any, frames: int, rate: int) -> float:
    """Return the ``time.monotonic`` second at which the last of ``frames`` was captured.

    when: PortAudio's times of a callback; where they say nothing, it is now.
    """
    now = time.monotonic()
    begun = float(getattr(when, "inputBufferAdcTime", 0.0) or 0.0)
    lag = float(getattr(when, "currentTime", 0.0) or 0.0) - begun - frames / rate
    return now - lag if begun > 0 and 0 <= lag <= MOST_LAG_S else now


class CaptureTime:
    """Follows one stream from the device's frames to the port's samples."""

    def __init__(self, rate: int) -> None:
        self._rate = rate
        self._frames = self._given = 0
        self._at = 0.0

    def taken(self, frames: int, at: float) -> None:
        """Take in ``frames`` of the device, the last of which was captured at ``at``."""
        self._frames += frames
        self._at = at

    def given(self, samples: int) -> float:
        """Return when the last of the next ``samples`` of the port was captured."""
        self._given += samples
        return self._at - (self._frames / self._rate - self._given / SAMPLE_RATE)
