"""What the session asks of the outside world, as data."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.conversation.records import JournalRecord
from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel
from callout.core.model.candidates import CandidateSet
from callout.core.model.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Record:
    """Write this to the journal, on disk, before any other effect of the step."""

    record: JournalRecord


@dataclass(frozen=True, slots=True)
class Say:
    """Speak; interrupts what is being said."""

    text: str
    token: int
    """Returned in SpeechFinished."""
    pace: float = 1.0
    """Speed; 1.0 is the voice's own."""


@dataclass(frozen=True, slots=True)
class Hush:
    """Interrupt what is being said."""


@dataclass(frozen=True, slots=True)
class Listen:
    """Listen for the replies to one item until told otherwise."""

    item_id: str
    candidates: CandidateSet
    attempt: int = 1
    """Number of the attempt at this item, so that a repeat can be weighed with earlier ones."""


@dataclass(frozen=True, slots=True)
class StopListening:
    """Discard what is being heard and stop listening."""


@dataclass(frozen=True, slots=True)
class Show:
    """Put this on the screen."""

    view: ViewModel
    news: tuple[str, ...] = ()
    """What just happened, one plain line each, for screens that only print."""


@dataclass(frozen=True, slots=True)
class Tone:
    """Play a short sound."""

    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Finish:
    """The conversation is over."""

    summary: CommonSummary


Effect = Record | Say | Hush | Listen | StopListening | Show | Tone | Finish
