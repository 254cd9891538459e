"""What is written down: small facts in the past tense; here those of every conversation."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from enum import Enum
from typing import Self

SCHEMA_VERSION = 1
"""Version of the journal format; a reader refuses later ones."""
NOT_WRITTEN = datetime(1, 1, 1, tzinfo=UTC)
"""Time of a record that has no place in a journal yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JournalRecord:
    """Base of all records: a fact, with its place in the journal once it has been written."""

    seq: int = 0
    """1, 2, 3 ... without gaps within a journal; 0: not yet written."""
    utc: datetime = NOT_WRITTEN
    """Wall clock, with its time zone."""
    at: float = 0.0
    """Session time in seconds; time between a break and a resume does not count."""

    def written(self, seq: int, utc: datetime, at: float) -> Self:
        """Return the fact with its place in the journal."""
        return replace(self, seq=seq, utc=utc, at=at)


@dataclass(frozen=True, slots=True)
class Resumed(JournalRecord):
    """An interrupted conversation continued."""

    torn: str = ""
    """The unfinished last line found, if any."""


@dataclass(frozen=True, slots=True)
class Suspended(JournalRecord):
    """The program ended before the conversation did."""

    why: str
    """``keyboard``, ``terminated``, ``input-ended`` ..."""


@dataclass(frozen=True, slots=True)
class Failed(JournalRecord):
    """An engine or device gave up."""

    part: str
    """``hearing``, ``voice`` ..."""
    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Recovered(JournalRecord):
    """An engine or device came back."""

    part: str


class Disturbance(Enum):
    """Kinds of sound trouble; a missing device is a failure, not one of these."""

    OVERLOADED = "overloaded"
    """Somebody spoke so loudly that the microphone cut the peaks off."""
    FAINT = "faint"
    """Speech that arrived very quietly, or hardly louder than the room."""
    LOST = "lost"
    """Blocks of sound that the sound system or the program could not process in time."""


@dataclass(frozen=True, slots=True)
class Disturbed(JournalRecord):
    """The sound was degraded, or is good again; the fields are those of ``SoundNotice``."""

    what: Disturbance
    count: int = 0
    """Times so far."""
    message: str = ""
    measured: float | None = None
    """Share, dB or blocks, depending on the kind."""
    told: bool = False
    over: bool = False
