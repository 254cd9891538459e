"""With a headset: lets a person speak over the tool, if their voice is clearly louder than the
tool's.

A headset's microphone still picks up some of the tool's voice. Its level is learned while the tool
speaks and nobody answers; only what is well above it counts as a person.
"""

from __future__ import annotations

from collections import deque

import numpy as np

from callout.hearing.level import decibels_of, power_of
from callout.ports.hearing import Samples

MARGIN_DB = 6.0
"""How far above the tool's own voice a block must be to count as a person's."""
_LEARN = 32
"""Blocks (1 s) of the tool's own voice needed before anybody is let through: after 24 blocks one of
its own louder syllables got through in 3 of 288 simulated challenges, after 32 in none.
"""
_MEMORY, _MEMORY_LEFT = 250, 125
"""Blocks (8 s, 4 s) of it that are remembered; fewer for the remainder after cancelling, which
shrinks while the path is learned.
"""
_LOUD = 95
"""The percentile of those that counts as its level: its loudest syllables."""
_VOICED = 90
"""The percentile of a person's blocks that counts as theirs: vowels."""
_BEFORE = 5
"""Blocks (0.16 s) before the voice became clear that belong to it: soft consonants. More blocks
contain more of the tool's own words: with 8, 24 of 60 replies were heard at once, with 5, 42.
"""
_WINDOW, _CLEAR = 3, 2
"""This many of the last few blocks must be clearly louder: a click is one block."""
_TAIL = 10
"""Blocks (0.32 s) after the tool's voice during which it may still be in the air, or on its way."""
_PATIENCE = 22
"""Blocks (0.7 s) below the level after which a person has finished."""


class OverVoice:
    """Passes blocks on: all of them while the tool is silent, a clear voice's while it speaks.

    cancelled: the tool's own voice has already been removed; the levels are those of the remainder.
    """

    def __init__(self, margin_db: float = MARGIN_DB, *, cancelled: bool = False) -> None:
        self._margin = margin_db
        self._own: deque[float] = deque(maxlen=_MEMORY_LEFT if cancelled else _MEMORY)
        self._before: deque[Samples] = deque(maxlen=_BEFORE)
        self._clear: deque[bool] = deque(maxlen=_WINDOW)
        self._passed: list[float] = []
        self._speaking = False
        self._tail = 0
        self._below = 0
        self.open = False
        """True while a person is let through although the tool is speaking."""

    @property
    def gated(self) -> bool:
        """True while the tool's own voice is, or may still be, in the air."""
        return self._speaking or self._tail > 0

    @property
    def own_db(self) -> float | None:
        """Level of the tool's own voice, or of its remainder; None before it is known."""
        if len(self._own) < _LEARN:
            return None
        return float(np.percentile(self._own, _LOUD))

    @property
    def above_db(self) -> float:
        """How far the loud parts of what was let through are above the tool's own voice; 0 before
        both are known.
        """
        own = self.own_db
        if own is None or not self._passed:
            return 0.0
        return float(np.percentile(self._passed, _VOICED)) - own

    def speaking(self, now: bool) -> None:
        """Note that the tool begins to speak, or has finished."""
        if now and not self._speaking:
            self.open = False
            self._clear.clear()
            self._before.clear()
        if self._speaking and not now:
            self._tail = _TAIL
        self._speaking = now

    def take(self, block: Samples) -> list[Samples]:
        """Take one block and return those to be heard now, in order; often none."""
        if not self.gated:
            return [block]
        level = decibels_of(float(np.sqrt(power_of(block))))
        if not self._speaking:
            self._tail -= 1
        if self.open:
            return self._go_on(block, level)
        self._before.append(block)
        own = self.own_db
        self._clear.append(own is not None and level >= own + self._margin)
        if self._speaking and not self._clear[-1]:
            self._own.append(level)
        if sum(self._clear) < _CLEAR:
            return []
        self.open, self._below = True, 0
        self._passed = [level]
        return list(self._before)

    def shut(self) -> None:
        """Skip a block: nothing in it is heard or learned."""
        if not self._speaking:
            self._tail -= 1
        self._own.clear()
        self._clear.clear()
        self._before.clear()

    def settle(self, *, reply: bool) -> None:
        """Note that the utterance is over; one that was not a reply may have been the tool's
        own.
        """
        if not reply:
            self._own.extend(self._passed)
        self._passed = []
        self._clear.clear()
        self._before.clear()
        self.open = False

    def _go_on(self, block: Samples, level: float) -> list[Samples]:
        own = self.own_db
        assert own is not None
        self._passed.append(level)
        self._below = 0 if level >= own + self._margin else self._below + 1
        self.open = self._below < _PATIENCE
        return [block]
