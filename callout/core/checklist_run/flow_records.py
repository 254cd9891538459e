"""Records of flows, of recitals from memory, and of paths taken."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.conversation.pacing import FlowMode
from callout.core.conversation.records import JournalRecord
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict


@dataclass(frozen=True, slots=True)
class PanelDone(JournalRecord):
    """One panel of a flow was completed."""

    panel: str
    seconds: float
    """From the call of the panel to "done"."""
    told: bool = False
    """True: it was asked for from memory, and the tool had to name it."""


@dataclass(frozen=True, slots=True)
class PanelNamed(JournalRecord):
    """A panel was named from memory."""

    panel: str
    """The panel that was due."""
    utterance: Utterance
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class ControlRecalled(JournalRecord):
    """A control of a flow and its position were recited from memory, or had to be prompted."""

    panel: str
    control: str
    """The control that was due."""
    verdict: Verdict
    utterance: Utterance | None = None
    """None: it was revealed without an attempt."""
    told: bool = False


@dataclass(frozen=True, slots=True)
class FlowWorked(JournalRecord):
    """A flow was completed."""

    mode: FlowMode
    """How it was guided."""
    passed: bool = False
    """True if it was a learning stage and nothing was missing."""


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
    """The positions of the controls at the end of a flow."""

    missed: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    """Items that are asked first because they concern what was missed."""
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
    """Items that lie on another path."""
    restored: tuple[str, ...] = ()
    """Items on this path that an earlier answer had dropped."""


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
    """The item that was actually recited, if it comes later."""


@dataclass(frozen=True, slots=True)
class Prompted(JournalRecord):
    """A memory item had to be prompted; the list asks for it again."""

    item_id: str
