"""What a screen shows: the same for the terminal and for a page."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from callout.core.model.utterance import ReplySource
from callout.core.model.verdict import Verdict


class Status(Enum):
    """State of an item."""

    PENDING = "to do"
    CURRENT = "now"
    ANSWERED = "done"
    SKIPPED = "skipped"
    DEFERRED = "deferred"
    NOT_APPLICABLE = "not applicable"
    LEFT_OPEN = "left open"
    DUE = "due"
    """The next list of a flight."""


class Doing(Enum):
    """What the session is doing."""

    SPEAKING = "speaking"
    LISTENING = "listening"
    WAITING = "waiting for the keyboard"
    HOLDING = "holding"
    ENDED = "ended"


def doing_now(*, ended: bool, held: bool, speaking: bool, hears: bool) -> Doing:
    """Return what the screen says is going on; an end outranks a hold, and a hold the voice."""
    if ended:
        return Doing.ENDED
    if held:
        return Doing.HOLDING
    if speaking:
        return Doing.SPEAKING
    return Doing.LISTENING if hears else Doing.WAITING


@dataclass(frozen=True, slots=True)
class Row:
    """One item in the list."""

    item_id: str
    number: int
    """From 1, in list order."""
    challenge: str
    status: Status
    note: str = ""
    """The accepted reply, the reason of a skip, or the condition not met."""
    critical: bool = False
    section: str = ""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A part that failed."""

    part: str
    message: str


@dataclass(frozen=True, slots=True)
class Control:
    """A single key, for a touch screen."""

    key: str
    """Its name as a keyboard reports it: ``f2``, ``space`` ..."""
    words: str
    """What it does now."""


@dataclass(frozen=True, slots=True)
class ViewModel:
    """One screen."""

    title: str
    rows: tuple[Row, ...] = ()
    current: int | None = None
    """Index of the current row."""
    section: str = ""
    challenge: str = ""
    """The challenge or question being asked, large."""
    question: bool = False
    """True when it is a question of the session rather than an item."""
    role: str = ""
    """Who answers, in words; empty when anyone may."""
    critical: bool = False
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    doing: Doing = Doing.WAITING
    heard: str = ""
    """Word for word; empty if nothing was heard."""
    heard_from: ReplySource | None = None
    heard_sure: bool = True
    heard_seat: str = ""
    """The seat it came from, recognised by voice; empty if unknown."""
    verdict: Verdict | None = None
    settled: bool = False
    """True when verdict and sentence are about the previous question, not the current one."""
    sentence: str = ""
    lines: tuple[str, ...] = ()
    """A list on request: help, or what is left."""
    options: tuple[str, ...] = ()
    """Replies to choose from by number."""
    deferred: tuple[str, ...] = ()
    """Challenges waiting to come back."""
    done: int = 0
    """Items with an outcome."""
    total: int = 0
    """Items that apply."""
    quiet: bool = False
    pace: float = 1.0
    """Factor on the usual speed of the voice."""
    hearing: str = ""
    hints: tuple[tuple[str, str], ...] = ()
    """Keys and what they do now."""
    controls: tuple[Control, ...] = ()
    """Every key that has a meaning now."""
    answers: tuple[str, ...] = ()
    """Replies that settle the open question, one of each kind."""
    troubles: tuple[Trouble, ...] = ()
    elsewhere: str = ""
    """Where else the session is shown, or why it is not; set by the view itself."""
    unit: str = "item"
    """What a row is: an item of a list, or a list of a flight."""

    @property
    def heard_told(self) -> bool:
        """True when the sentence already quotes what was heard."""
        quoted = f'"{self.heard}"'.casefold() in self.sentence.casefold()
        return self.settled or bool(self.heard and self.heard_sure and quoted)
