"""What happened at one item of a list so far."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from callout.core.model.utterance import ReplySource
from callout.core.state.proving import Standing


class ItemOutcome(Enum):
    """How an item ended; every item of a finished list has exactly one."""

    ANSWERED = "answered"
    SKIPPED = "skipped"
    NOT_APPLICABLE = "not-applicable"
    LEFT_OPEN = "left-open"
    """Deferred and not answered: the person said aloud that it stays open, or the list was
    stopped."""


@dataclass(frozen=True, slots=True)
class ItemProgress:
    """What happened at one item so far."""

    outcome: ItemOutcome | None = None
    deferred: bool = False
    """It was put off at least once."""
    due_round: int = 0
    """The round in which it is asked: 0 in list order, later for a deferred item."""
    asked: int = 0
    mismatches: int = 0
    not_set: int = 0
    """Right replies that the aircraft showed to be untrue."""
    standing: Standing = Standing.UNWATCHED
    """What the aircraft showed at the last reply."""
    silent: bool = False
    """The state of the aircraft settled it without a word."""
    unclear: int = 0
    unclear_run: int = 0
    """Unclear replies in a row; from the second on another way to answer is offered."""
    remarks: int = 0
    accepted: int = 0
    """Right replies so far; more than one is needed where both seats answer."""
    reply: str = ""
    """The accepted answer that settled it."""
    heard: str = ""
    """The last reply, word for word."""
    source: ReplySource | None = None
    reason: str = ""
    """Why it was skipped, does not apply, or is asked again."""
    note: str = ""
    """What was said when it was deferred."""
    dropped_by: str = ""
    """The question whose answer leads another way."""
    seconds: float | None = None
    fast: bool = False
    slow: bool = False
    recited: bool = False
    """It was said from memory, without a challenge."""

    @property
    def open(self) -> bool:
        """True while it has no outcome."""
        return self.outcome is None

    @property
    def first_time(self) -> bool:
        """True when answered right at the first reply."""
        missed = self.mismatches or self.unclear or self.not_set
        return self.outcome is ItemOutcome.ANSWERED and not missed
