"""When a source's samples were captured, however late they are processed."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

from callout.hearing.level import Level
from callout.ports.hearing import SAMPLE_RATE, AudioSource, Samples

MOST_LAG_S = 2.0
"""A capture time further back than this cannot be trusted."""


@dataclass(frozen=True, slots=True)
class Block:
    """A block of a live source, as it arrived."""

    samples: Samples
    level: Level
    """Level at the device."""
    at: float
    """``time.monotonic`` at which its last sample was captured."""


def time_of_block(source: AudioSource) -> float:
    """Return when the latest block of a source was captured; now if it cannot say."""
    return getattr(source, "captured_at", 0.0) or time.monotonic()


def captured_at(when: Any, frames: int, rate: int) -> float:
    """Return the ``time.monotonic`` second at which the last of ``frames`` was captured.

    when: PortAudio's times of a callback; if they are missing, the time is now.
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
        """Add ``frames`` of the device, the last of which was captured at ``at``."""
        self._frames += frames
        self._at = at

    def given(self, samples: int) -> float:
        """Return when the last of the next ``samples`` of the port was captured."""
        self._given += samples
        return self._at - (self._frames / self._rate - self._given / SAMPLE_RATE)
