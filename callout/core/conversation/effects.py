"""What the session asks of the world, as data."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.conversation.records import JournalRecord
from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel
from callout.core.model.candidates import CandidateSet
from callout.core.model.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Record:
    """Keep this in the journal, on the disk, before any other effect of the step."""

    record: JournalRecord


@dataclass(frozen=True, slots=True)
class Say:
    """Speak; cuts what is being said."""

    text: str
    token: int
    """Comes back in SpeechFinished."""
    pace: float = 1.0
    """Speed wanted, 1.0 being the voice's own."""


@dataclass(frozen=True, slots=True)
class Hush:
    """Cut what is being said."""


@dataclass(frozen=True, slots=True)
class Listen:
    """Listen for the replies to one item until told otherwise."""

    item_id: str
    candidates: CandidateSet
    attempt: int = 1
    """Which try at this item it is, so that a repeat can be weighed with the tries before."""


@dataclass(frozen=True, slots=True)
class StopListening:
    """Drop what is being heard and listen no more."""


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
