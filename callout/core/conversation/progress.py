"""What a journal rebuilds for every conversation, and how the common records change it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

from callout.core.conversation import records as c
from callout.core.conversation.sound import UNSPOILT, SoundTally


@dataclass(frozen=True, slots=True, kw_only=True)
class CommonProgress:
    """Base of what the records of a conversation rebuild."""

    seq: int = 0
    """Number of the last record."""
    at: float = 0.0
    """Session time of the last record, in seconds."""
    began: float = 0.0
    """Session time of the first record, in seconds."""
    quiet: bool = False
    """True: nothing is read aloud."""
    pace: float = 1.0
    """Speed of the voice, 1.0 being its own."""
    failures: int = 0
    """Times the microphone or the voice failed."""
    resumes: int = 0
    """Times it was resumed."""
    sound: SoundTally = UNSPOILT
    """How often the sound was degraded."""
    suspended: bool = False
    """True: interrupted."""


P = TypeVar("P", bound=CommonProgress)


def after_common(progress: P, record: c.JournalRecord) -> P | None:
    """Return ``progress`` after a record common to all conversations; None for any other record."""
    match record:
        case c.Failed():
            return replace(progress, failures=progress.failures + 1)
        case c.Recovered():
            return progress
        case c.Disturbed():
            return replace(progress, sound=progress.sound.after(record))
        case c.Suspended():
            return replace(progress, suspended=True)
        case c.Resumed():
            return replace(progress, suspended=False, resumes=progress.resumes + 1)
        case _:
            return None
