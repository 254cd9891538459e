"""The records of a session: small facts in the past tense, enough to rebuild its state."""

from __future__ import annotations

from dataclasses import dataclass, field

from callout.core.checklist_run.causes import Choice, Ending, Question, Why
from callout.core.checklist_run.flow_records import ControlMoved as ControlMoved
from callout.core.checklist_run.flow_records import ControlRecalled as ControlRecalled
from callout.core.checklist_run.flow_records import FlowSeen as FlowSeen
from callout.core.checklist_run.flow_records import FlowWorked as FlowWorked
from callout.core.checklist_run.flow_records import Led as Led
from callout.core.checklist_run.flow_records import PanelDone as PanelDone
from callout.core.checklist_run.flow_records import PanelNamed as PanelNamed
from callout.core.checklist_run.flow_records import Prompted as Prompted
from callout.core.checklist_run.flow_records import Recited as Recited
from callout.core.conversation.pacing import Challenger
from callout.core.conversation.records import JournalRecord
from callout.core.model.commands import Command
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan
from callout.core.planning.stated_quantity import Given
from callout.core.state.proving import Standing


@dataclass(frozen=True, slots=True)
class Began(JournalRecord):
    """A list was started; holds everything that is asked, so that a journal is self-contained."""

    session_id: str
    plan: Plan
    about: dict[str, str] = field(default_factory=dict)
    quiet: bool = False
    pace: float = 1.0
    """Factor on the usual speed of the voice."""
    challenger: Challenger = Challenger.TOOL


@dataclass(frozen=True, slots=True)
class Challenged(JournalRecord):
    """An item was challenged."""

    item_id: str
    why: Why
    round: int = 0
    """0 in list order; 1, 2 ... when deferred items come back."""
    utterance: Utterance | None = None
    """The challenge in a person's words, if a person gave it."""
    passed_over: tuple[str, ...] = ()
    """Earlier items that had not been challenged at that time."""


@dataclass(frozen=True, slots=True)
class Replied(JournalRecord):
    """A reply to the current item was judged."""

    item_id: str
    utterance: Utterance
    verdict: Verdict
    code: str
    reason: str
    reply: str | None = None
    """The accepted or named-wrong answer it was matched to."""
    seconds: float | None = None
    """From the end of the challenge (or from its showing, when not spoken) to the reply's start."""
    fast: bool = False
    slow: bool = False
    said: Verdict | None = None
    """The verdict on the words alone, if the aircraft contradicted it; None: ``verdict``."""
    standing: Standing = Standing.UNWATCHED
    """What the aircraft showed at the time."""
    found: str = ""
    """The same in words: "the beacon is off", or why nothing was known."""


@dataclass(frozen=True, slots=True)
class Proved(JournalRecord):
    """The aircraft's state settled an item without a spoken reply."""

    item_id: str
    reply: str
    """The reply that it replaces."""
    found: str
    """The evidence: "the beacon is on"."""


@dataclass(frozen=True, slots=True)
class Remarked(JournalRecord):
    """A side remark: heard, not meant as a reply."""

    item_id: str
    utterance: Utterance


@dataclass(frozen=True, slots=True)
class Commanded(JournalRecord):
    """A command by voice, typing or key was understood."""

    command: Command
    utterance: Utterance
    rest: str = ""
    """What followed the command's own words."""


@dataclass(frozen=True, slots=True)
class Asked(JournalRecord):
    """A question was asked."""

    question: Question
    item_id: str = ""
    fact: str = ""
    """The fact of the set-up that is asked for."""


@dataclass(frozen=True, slots=True)
class Decided(JournalRecord):
    """A question was answered or dropped."""

    question: Question
    choice: Choice
    utterance: Utterance | None = None
    """None: silence or another reply settled it."""


@dataclass(frozen=True, slots=True)
class Misunderstood(JournalRecord):
    """A reply to a question was not one of its answers."""

    question: Question
    utterance: Utterance


@dataclass(frozen=True, slots=True)
class Skipped(JournalRecord):
    """An item was skipped."""

    item_id: str
    reason: str
    """In the person's words; empty when none was given."""
    utterance: Utterance | None = None


@dataclass(frozen=True, slots=True)
class Deferred(JournalRecord):
    """An item was deferred; it comes back before the completion call."""

    item_id: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class NotApplicable(JournalRecord):
    """An item was dropped by its condition."""

    item_id: str
    condition: str


@dataclass(frozen=True, slots=True)
class Reopened(JournalRecord):
    """The item's outcome no longer holds: the person went back, or something changed."""

    item_id: str
    because: str = ""
    """What changed ("qnh: 1020 hPa"); empty: the person went back."""


@dataclass(frozen=True, slots=True)
class Held(JournalRecord):
    """The list was put on hold."""

    item_id: str


@dataclass(frozen=True, slots=True)
class Continued(JournalRecord):
    """The hold ended."""

    item_id: str


@dataclass(frozen=True, slots=True)
class Paced(JournalRecord):
    """The speaking pace changed."""

    pace: float


@dataclass(frozen=True, slots=True)
class Quieted(JournalRecord):
    """The voice was turned off or on."""

    quiet: bool


@dataclass(frozen=True, slots=True)
class Stated(JournalRecord):
    """A fact of the set-up was stated (None: the person does not know)."""

    fact: str
    state: bool | None
    utterance: Utterance | None = None


@dataclass(frozen=True, slots=True)
class QuantityStated(JournalRecord):
    """A quantity of the flight was stated, or confirmed after it was read back."""

    given: Given
    utterance: Utterance | None = None


@dataclass(frozen=True, slots=True)
class QuantityHeard(JournalRecord):
    """A quantity was heard, but not for certain; it is read back for confirmation."""

    given: Given
    utterance: Utterance


@dataclass(frozen=True, slots=True)
class WantedAgain(JournalRecord):
    """Items are to be asked again although already done."""

    item_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Replanned(JournalRecord):
    """The set-up changed; the open items were planned again."""

    plan: Plan
    words: str = ""


@dataclass(frozen=True, slots=True)
class Ended(JournalRecord):
    """The list ended."""

    ending: Ending
    call: str = ""
    """The completion call as given."""
    open_items: tuple[str, ...] = ()
    """Items without a right reply: deliberately left open, or never reached."""
    skipped: tuple[str, ...] = ()
    utterance: Utterance | None = None
    """The person's own completion call, if a person gives it."""
