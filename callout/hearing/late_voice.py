"""Without a headset: is speech that is there at the moment of arming the tool's own, come late?"""

from __future__ import annotations

from collections import deque

import numpy as np

from callout.hearing.level import decibels_of, power_of
from callout.ports.hearing import Samples

MARGIN_DB = 6.0
"""How far above the tool's own voice a person's must be."""
_KNOWN = 24
"""Blocks (0.8 s) of the tool's own voice from which its level is known."""
_MEMORY = 250
"""Blocks (8 s) of it that are remembered."""
_LOUD = 95
"""The percentile of those that counts as its level: its loudest syllables."""
_LOUDEST = 2
"""So many blocks must stand clear: a click is one block."""


class LateVoice:
    """Compares what comes after arming with the tool's own voice as it came before."""

    def __init__(self) -> None:
        self._own: deque[float] = deque(maxlen=_MEMORY)
        self._since: deque[float] = deque(maxlen=_MEMORY)

    def own(self, block: Samples) -> None:
        """Learn from a block that came while the tool spoke."""
        self._own.append(_block_level(block))

    def arm(self) -> None:
        """Begin again: the ear is armed."""
        self._since.clear()

    def take(self, block: Samples) -> None:
        """Take a block that came since."""
        self._since.append(_block_level(block))

    @property
    def outspoken(self) -> bool:
        """True if what came since stands clear of the tool's voice; False while that is unknown."""
        if len(self._own) < _KNOWN or len(self._since) < _LOUDEST:
            return False
        loud = sorted(self._since)[-_LOUDEST]
        return loud >= float(np.percentile(self._own, _LOUD)) + MARGIN_DB


def _block_level(block: Samples) -> float:
    return decibels_of(float(np.sqrt(power_of(block))))
