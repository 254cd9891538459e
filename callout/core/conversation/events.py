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
    """Voice and pace as they were in the list before."""


@dataclass(frozen=True, slots=True)
class ResumeAsked(Event):
    """An interrupted list continues; the state holds what the journal holds."""

    torn: str = ""
    """The unfinished last line found in the journal, if there was one."""
    facts: Mapping[str, bool] = field(default_factory=dict)
    """Facts that the flight around it has learned meanwhile."""
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
    """Who spoke, where the voice was known."""


@dataclass(frozen=True, slots=True)
class TypedReply(Event):
    """A line was typed."""

    item_id: str
    """The item on the screen when the line was begun."""
    text: str


@dataclass(frozen=True, slots=True)
class KeyPressed(Event):
    """A single key with a meaning of its own was pressed."""

    key: str
    """Lower-case name: ``f2``, ``escape``, ``space``, ``enter``, ``?`` ..."""
    item_id: str = ""
    """What was on the screen it was pressed at, where that may lag behind; empty: no screen may."""


@dataclass(frozen=True, slots=True)
class SpeechFinished(Event):
    """The voice fell silent."""

    token: int
    """That of the ``Say`` it belongs to."""
    spoken: bool = True
    """False: nothing was heard in the room (no voice, or it failed)."""


@dataclass(frozen=True, slots=True)
class SpokeUp(Event):
    """A person began to speak; while the tool does, where one may talk over it."""


@dataclass(frozen=True, slots=True)
class AdapterFailed(Event):
    """An engine or a device gave up; the session continues without it."""

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
    """The sound is spoilt, or is better again; neither a reply nor an interruption."""

    notice: SoundNotice


@dataclass(frozen=True, slots=True)
class StateReported(Event):
    """The aircraft has reported the positions of its controls."""

    board: Board
    moves: tuple[Move, ...] = ()
    """What has moved since the report before, in order; times are session times."""


@dataclass(frozen=True, slots=True)
class FlightChanged(Event):
    """The set-up changed during the session; what is still open is planned again."""

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
