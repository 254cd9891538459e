"""The part of a conversation's state that is not stored: voice, ears and screen."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypedDict

from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict

_DEVICES = ("hearing", "voice", "tones")
"""Parts whose loss the screen shows in another way ("waiting for the keyboard")."""


@dataclass(frozen=True, slots=True)
class Moment:
    """The passing moment; nothing in it outlives the program."""

    token: int = 0
    """Number of the last spoken text."""
    speaking: bool = False
    asked_at: float | None = None
    """When the last challenge or question ended (or was shown, if not spoken): silence counts from
    here.
    """
    timed_from: float | None = None
    """When it ended for the first time: reply times count from here, however often it is repeated.
    None until then.
    """
    shown_at: float | None = None
    """When it was put on the screen."""
    voice_at: float | None = None
    """When somebody last began to speak."""
    reminded: bool = False
    """The single gentle repeat after silence has been given."""
    listening: str = ""
    """What the ear is armed for; empty: it is not armed."""
    listen_due: float | None = None
    """When the pause after the tool's own voice is over."""
    heard: Utterance | None = None
    verdict: Verdict | None = None
    sentence: str = ""
    """The last thing told to the person."""
    lines: tuple[str, ...] = ()
    """A list to show: help, or what is left."""
    missed: int = 0
    """Replies to the open question that did not answer it."""
    options: tuple[str, ...] = ()
    """Replies to choose from by number after two unclear ones; right and wrong alike."""
    troubles: tuple[tuple[str, str], ...] = ()
    """Parts that failed, with one sentence each."""
    seen: tuple[tuple[str, str], ...] = ()
    """Troubles that the person has seen, because they have spoken or typed since."""

    @property
    def silent_from(self) -> float | None:
        """When the silence since the question began; None if no question has been put."""
        if self.asked_at is None or self.voice_at is None:
            return self.asked_at
        return max(self.asked_at, self.voice_at)

    @property
    def shown_troubles(self) -> tuple[tuple[str, str], ...]:
        """The troubles to show: each sentence once, a lost device only until the next reply."""
        passing = {t for t in self.seen if t[0] in _DEVICES}
        fresh = (t for t in self.troubles if t not in passing)
        return tuple({message: (part, message) for part, message in fresh}.values())

    def seconds_to(self, began: float) -> float | None:
        """Return the reply time of words that began at session time ``began``; None: unknown."""
        asked = self.shown_at if self.timed_from is None else self.timed_from
        if asked is None or not math.isfinite(began - asked):
            return None
        return round(max(0.0, began - asked), 3)

    def without_trouble(self, part: str) -> tuple[tuple[str, str], ...]:
        """Return the troubles of all other parts."""
        return tuple(trouble for trouble in self.troubles if trouble[0] != part)


class MomentChange(TypedDict, total=False):
    """Fields of a Moment, so that a type checker catches a wrong one; a test compares the two."""

    token: int
    speaking: bool
    asked_at: float | None
    timed_from: float | None
    shown_at: float | None
    voice_at: float | None
    reminded: bool
    listening: str
    listen_due: float | None
    heard: Utterance | None
    verdict: Verdict | None
    sentence: str
    lines: tuple[str, ...]
    missed: int
    options: tuple[str, ...]
    troubles: tuple[tuple[str, str], ...]
    seen: tuple[tuple[str, str], ...]
