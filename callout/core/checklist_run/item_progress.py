"""Progress of items, flows and recitals from memory."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from callout.core.conversation.pacing import FlowMode
from callout.core.model.utterance import ReplySource
from callout.core.state.proving import Standing


class ItemOutcome(Enum):
    """How an item ended; every item of a finished list has exactly one."""

    ANSWERED = "answered"
    SKIPPED = "skipped"
    NOT_APPLICABLE = "not-applicable"
    LEFT_OPEN = "left-open"
    """Deferred and not answered: the person chose to leave it open, or the list was stopped."""


@dataclass(frozen=True, slots=True)
class ItemProgress:
    """What has happened at one item so far."""

    outcome: ItemOutcome | None = None
    deferred: bool = False
    """It was deferred at least once."""
    due_round: int = 0
    """The round in which it is asked: 0 in list order, later for a deferred item."""
    asked: int = 0
    """Times it was challenged."""
    mismatches: int = 0
    """Wrong replies."""
    not_set: int = 0
    """Right replies that the aircraft contradicted."""
    standing: Standing = Standing.UNWATCHED
    """What the aircraft showed at the last reply."""
    silent: bool = False
    """The aircraft's state settled it without a spoken reply."""
    unclear: int = 0
    """Unclear replies."""
    unclear_run: int = 0
    """Consecutive unclear replies; from the second on another way to answer is offered."""
    remarks: int = 0
    """Side remarks while it was open."""
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
    """From the end of the first challenge to the beginning of the first reply."""
    fast: bool = False
    slow: bool = False
    recited: bool = False
    """It was recited from memory, without a challenge."""

    @property
    def open(self) -> bool:
        """True while it has no outcome."""
        return self.outcome is None

    @property
    def first_time(self) -> bool:
        """True when answered right at the first reply."""
        missed = self.mismatches or self.unclear or self.not_set
        return self.outcome is ItemOutcome.ANSWERED and not missed


@dataclass(frozen=True, slots=True)
class PanelProgress:
    """One completed panel of a flow."""

    panel: str
    seconds: float
    """From the call of the panel to "done"."""
    misses: int = 0
    """Other panels named first, if it was asked for from memory."""
    told: bool = False


@dataclass(frozen=True, slots=True)
class ControlProgress:
    """One control of a flow that was recited from memory, or prompted."""

    panel: str
    control: str
    misses: int = 0
    """Wrong controls or positions said first."""
    told: bool = False


@dataclass(frozen=True, slots=True)
class FlowPast:
    """What the journals say about one person and one flow."""

    passed: frozenset[FlowMode] = frozenset()
    """Stages whose last attempt was passed."""
    best: float | None = None
    """Shortest time from the call to the end, without help, in seconds."""


@dataclass(frozen=True, slots=True)
class MemoryProgress:
    """How reciting the memory items has gone so far."""

    began: float | None = None
    """Session time in seconds; None before the first item."""
    done: bool = False
    seconds: float | None = None
    """From the call for the list to the last item."""
    told: tuple[str, ...] = ()
    """Items that had to be prompted."""
    left_out: tuple[str, ...] = ()
    """Items that were not said."""
    wrong: int = 0
    """Wrong positions said."""
    early: int = 0
    """Items said before their turn."""
    misses: int = 0
    """Wrong words since the last item that was right."""
