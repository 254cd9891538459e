"""What can happen to a session: each event carries its own time and sequence number."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from callout.core.conversation.sound import SoundNotice
from callout.core.model.heard import Heard
from callout.core.planning.plan import Plan, Role
from callout.core.planning.stated_quantity import Given
from callout.core.state.board import Board, Move


@dataclass(frozen=True, slots=True)
class Stamp:
    """When an event happened."""

    seq: int
    """Counts the events of one run of the program."""
    at: float
    """Seconds of session time; goes on from the last record after a resume."""
    utc: datetime
    """The same moment on the wall clock; always with its time zone."""

    def __post_init__(self) -> None:
        if self.utc.tzinfo is None:
            raise ValueError("a stamp needs a time with its zone")


@dataclass(frozen=True, slots=True)
class Event:
    """Base of all events."""

    stamp: Stamp


@dataclass(frozen=True, slots=True)
class Started(Event):
    """A list is called for."""

    session_id: str
    plan: Plan
    about: dict[str, str] = field(default_factory=dict)
    """What ran it: version, file, engines; for the journal only."""
    quiet: bool = False
    pace: float = 1.0
    """Voice and pace as in the list before."""


@dataclass(frozen=True, slots=True)
class ResumeAsked(Event):
    """An interrupted list continues; the state contains what the journal contains."""

    torn: str = ""
    """The unfinished last line found in the journal, if there was one."""
    facts: Mapping[str, bool] = field(default_factory=dict)
    """Facts that the surrounding flight has learned meanwhile."""
    given: tuple[Given, ...] = ()
    """Quantities that it has learned."""


@dataclass(frozen=True, slots=True)
class HeardReply(Event):
    """The recogniser reports one utterance."""

    item_id: str
    """What was listened for; a reply to anything but the current item is too late."""
    heard: Heard
    started_at: float | None = None
    """Session time at which the speech began; None when unknown."""
    seat: Role | None = None
    """Who spoke, if the voice was recognised."""


@dataclass(frozen=True, slots=True)
class TypedReply(Event):
    """A line was typed."""

    item_id: str
    """The item on the screen when the typing began."""
    text: str


@dataclass(frozen=True, slots=True)
class KeyPressed(Event):
    """A single key with a meaning of its own was pressed."""

    key: str
    """Lower-case name: ``f2``, ``escape``, ``space``, ``enter``, ``?`` ..."""
    item_id: str = ""
    """What was on the screen when the key was pressed; empty for a screen that cannot lag
    behind.
    """


@dataclass(frozen=True, slots=True)
class SpeechFinished(Event):
    """The voice stopped speaking."""

    token: int
    """The token of its ``Say``."""
    spoken: bool = True
    """False: nothing was audible (no voice, or it failed)."""


@dataclass(frozen=True, slots=True)
class SpokeUp(Event):
    """A person began to speak, perhaps while the tool was speaking (barge-in)."""


@dataclass(frozen=True, slots=True)
class AdapterFailed(Event):
    """An engine or a device failed; the session continues without it."""

    part: str
    """``hearing``, ``voice`` ..."""
    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class AdapterRecovered(Event):
    """An engine or a device is back."""

    part: str


@dataclass(frozen=True, slots=True)
class SoundDisturbed(Event):
    """The sound is degraded, or is good again; neither a reply nor an interruption."""

    notice: SoundNotice


@dataclass(frozen=True, slots=True)
class StateReported(Event):
    """The aircraft has reported the positions of its controls."""

    board: Board
    moves: tuple[Move, ...] = ()
    """What has moved since the previous report, in order; times are session times."""


@dataclass(frozen=True, slots=True)
class FlightChanged(Event):
    """The set-up changed during the session; open items are planned again."""

    plan: Plan
    words: str = ""


@dataclass(frozen=True, slots=True)
class SetAside(Event):
    """Another list goes first; this one can be resumed."""

    why: str


@dataclass(frozen=True, slots=True)
class Ticked(Event):
    """Time passed; sent when ``deadline(state)`` is reached."""


@dataclass(frozen=True, slots=True)
class Interrupted(Event):
    """The program must end now; the list can be resumed."""

    why: str
    """``keyboard``, ``terminated``, ``input-ended`` ..."""
