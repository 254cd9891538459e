"""Keeps what an output stream is given until the ear has taken it."""

from __future__ import annotations

from collections import deque

from callout.arithmetic import Floats
from callout.ports.played_sound import PlayedPart

_MOST = 512
"""Buffers kept: some seconds, if nobody takes them."""


class PlayedLog:
    """Filled by PortAudio's thread, emptied by the ear's; neither waits for the other."""

    def __init__(self) -> None:
        self._parts: deque[PlayedPart] = deque(maxlen=_MOST)

    def add(self, samples: Floats, rate: int, at: float) -> None:
        """Keep one mono buffer whose first sample is audible at ``at``."""
        self._parts.append(PlayedPart(samples, rate, at))

    def taken(self) -> list[PlayedPart]:
        """Return what was added since the last call."""
        parts: list[PlayedPart] = []
        while self._parts:
            parts.append(self._parts.popleft())
        return parts
