"""Ink on a photograph that the reader of letters dropped: the item on its line is asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.guesses import NOT_READ, Doubt, Guess, LeftOut, Reading
from callout.core.paper.page import Box, Origin, Page
from callout.core.sentences import authoring as say

_LEVEL: Final = 0.4
"""Least share of the height of the ink that is level with the line of an item."""
_NEAR: Final = 12.0
"""Farthest that ink stands from the words of its line, in its own heights."""


def with_unread(reading: Reading, pages: Sequence[Page]) -> Reading:
    """Return ``reading`` with a doubt at each item beside ink that was not read.

    Ink that is beside no item is shown as not placed.
    """
    guesses = list(reading.guesses)
    lost: list[LeftOut] = []
    for page in pages:
        for ink in page.unread:
            at = _beside(guesses, page.number, ink)
            if at is None:
                origin = Origin(page.number, 0, say.INK_NOT_READ, ink)
                lost.append(LeftOut(origin, NOT_READ))
            else:
                guesses[at] = _doubted(guesses[at], ink)
    return replace(reading, guesses=tuple(guesses), left_out=(*reading.left_out, *lost))


def _beside(guesses: Sequence[Guess], page: int, ink: Box) -> int | None:
    """Return the index of the nearest item whose line the ink is level with."""
    gaps = {
        at: -guess.origin.box.across(ink)
        for at, guess in enumerate(guesses)
        if guess.origin.page == page
        and guess.origin.box is not None
        and guess.origin.box.down(ink) > _LEVEL * ink.height
    }
    nearest = min(gaps, key=lambda at: gaps[at], default=None)
    return nearest if nearest is not None and gaps[nearest] < _NEAR * ink.height else None


def _doubted(guess: Guess, ink: Box) -> Guess:
    box = guess.origin.box.joined(ink) if guess.origin.box else ink
    doubts = tuple(dict.fromkeys((*guess.doubts, Doubt.UNREAD)))
    return replace(guess, origin=replace(guess.origin, box=box), doubts=doubts)
