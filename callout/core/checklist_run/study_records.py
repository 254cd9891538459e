"""What is written down of flows, of what is recited from memory, and of ways taken."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.conversation.pacing import FlowMode
from callout.core.conversation.records import JournalRecord
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict


@dataclass(frozen=True, slots=True)
class PanelDone(JournalRecord):
    """One panel of a flow was reported done."""

    panel: str
    seconds: float
    """From the call of the panel to "done"."""
    told: bool = False
    """True: it was asked for from memory, and the tool had to name it."""


@dataclass(frozen=True, slots=True)
class PanelNamed(JournalRecord):
    """A panel was named from memory."""

    panel: str
    """The panel that comes next."""
    utterance: Utterance
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class ControlRecalled(JournalRecord):
    """A control of a flow and its position were said from memory, or had to be prompted."""

    panel: str
    control: str
    """The one that is due."""
    verdict: Verdict
    utterance: Utterance | None = None
    """None: it was told without a try."""
    told: bool = False


@dataclass(frozen=True, slots=True)
class FlowWorked(JournalRecord):
    """A flow was done to its end."""

    mode: FlowMode
    """How it was accompanied."""
    passed: bool = False
    """True where it was a stage of learning, and nothing was missing."""


@dataclass(frozen=True, slots=True)
class ControlMoved(JournalRecord):
    """A control was moved while a flow was done."""

    control: str
    """As the flight file names it."""
    was: str
    now: str
    label: str = ""
    panel: str = ""


@dataclass(frozen=True, slots=True)
class FlowSeen(JournalRecord):
    """How the controls stood when a flow was over."""

    missed: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    """Items that are asked first, since they are about what was missed."""
    mistaken: tuple[str, ...] = ()
    back: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Led(JournalRecord):
    """A question was answered that decides how the list continues."""

    item_id: str
    to: str
    """The item that comes after it, or the end."""
    reply: str = ""
    dropped: tuple[str, ...] = ()
    """Items that lie on another way."""
    restored: tuple[str, ...] = ()
    """Items that an earlier answer had dropped and that lie on this way."""


@dataclass(frozen=True, slots=True)
class Recited(JournalRecord):
    """Something was recited from memory."""

    item_id: str
    """The item that was due."""
    utterance: Utterance
    verdict: Verdict
    code: str = ""
    reply: str = ""
    """The accepted answer it was matched to."""
    seconds: float | None = None
    """From the call for the list to these words."""
    early: str = ""
    """The item that it was in truth, where that comes later."""


@dataclass(frozen=True, slots=True)
class Prompted(JournalRecord):
    """An item that is done from memory had to be prompted; the list asks for it again."""

    item_id: str
