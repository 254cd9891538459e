"""Without a headset: is speech at the moment of arming the tool's own voice, arriving late?"""

from __future__ import annotations

from collections import deque

import numpy as np

from callout.hearing.level import decibels_of, power_of
from callout.ports.hearing import Samples

MARGIN_DB = 6.0
"""How far above the tool's own voice a person's must be."""
_KNOWN = 24
"""Blocks (0.8 s) of the tool's own voice needed to know its level."""
_MEMORY = 250
"""Blocks (8 s) of it that are remembered."""
_LOUD = 95
"""The percentile of those that counts as its level: its loudest syllables."""
_LOUDEST = 2
"""This many blocks must be clearly louder: a click is one block."""


class LateVoice:
    """Compares what arrives after arming with the tool's own voice before it."""

    def __init__(self) -> None:
        self._own: deque[float] = deque(maxlen=_MEMORY)
        self._since: deque[float] = deque(maxlen=_MEMORY)

    def own(self, block: Samples) -> None:
        """Learn from a block that arrived while the tool spoke."""
        self._own.append(_block_level(block))

    def arm(self) -> None:
        """Start again: the ear is armed."""
        self._since.clear()

    def take(self, block: Samples) -> None:
        """Take a block that has arrived since."""
        self._since.append(_block_level(block))

    @property
    def outspoken(self) -> bool:
        """True if what has arrived since is clearly louder than the tool's voice; False while
        unknown.
        """
        if len(self._own) < _KNOWN or len(self._since) < _LOUDEST:
            return False
        loud = sorted(self._since)[-_LOUDEST]
        return loud >= float(np.percentile(self._own, _LOUD)) + MARGIN_DB


def _block_level(block: Samples) -> float:
    return decibels_of(float(np.sqrt(power_of(block))))
