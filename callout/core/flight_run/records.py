"""Records of a flight as a whole; each list has its own journal."""

from __future__ import annotations

from dataclasses import dataclass, field

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.settled import Settled
from callout.core.conversation import records as c
from callout.core.conversation.sound import UNSPOILT, SoundTally
from callout.core.flight_run.questions import DeskChoice, DeskQuestion
from callout.core.model.commands import Command
from callout.core.model.utterance import Utterance
from callout.core.planning.basis import Basis
from callout.core.planning.stated_quantity import Given


@dataclass(frozen=True, slots=True)
class SectorRecord(c.JournalRecord):
    """Base of the records of a flight."""


@dataclass(frozen=True, slots=True)
class ListName:
    """One list as it was known when the flight began."""

    id: str
    title: str


@dataclass(frozen=True, slots=True)
class SectorBegan(SectorRecord):
    """A flight began."""

    sector_id: str
    mark: str
    """Letters that name its journals."""
    title: str
    lists: tuple[ListName, ...]
    first: str = ""
    """The list it begins with, when not the first of the flight."""
    received: str = ""
    """The condition in which the aircraft was taken over from another crew, as stated."""
    about: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SectorResumed(c.Resumed, SectorRecord):
    """An interrupted flight continued."""


@dataclass(frozen=True, slots=True)
class MovedSince(SectorRecord):
    """Something set in the previous list was moved before the next one."""

    item_id: str
    found: str
    """Its state now, in words."""


@dataclass(frozen=True, slots=True)
class ListCalled(SectorRecord):
    """A person called for a list."""

    list_id: str
    session_id: str
    """Name of the list's own journal."""
    utterance: Utterance
    warned: tuple[str, ...] = ()
    """Lists that should have been completed before it, but were not."""
    rest_of: str = ""
    """The completed run whose answers still hold; only what has changed since is asked."""
    sprung: bool = False
    """True: memory items only, as an exercise."""


@dataclass(frozen=True, slots=True)
class ListSetAside(SectorRecord):
    """An open list was set aside for another."""

    session_id: str
    facts: dict[str, bool] = field(default_factory=dict)
    """Set-up stated during the list."""
    given: tuple[Given, ...] = ()
    """Quantities stated during the list."""


@dataclass(frozen=True, slots=True)
class ListTakenUp(SectorRecord):
    """A paused or interrupted list continues."""

    session_id: str
    utterance: Utterance


@dataclass(frozen=True, slots=True)
class ListEnded(SectorRecord):
    """A list ended; what the rest of the flight needs from it is stored here."""

    session_id: str
    ending: Ending
    open_items: int = 0
    """Items without an outcome."""
    skipped: int = 0
    """Items skipped."""
    facts: dict[str, bool] = field(default_factory=dict)
    """Set-up stated during the list."""
    produced: tuple[str, ...] = ()
    """Quantities that its items made known."""
    once: tuple[str, ...] = ()
    """Items due only once that were answered."""
    quiet: bool = False
    pace: float = 1.0
    """Factor on the usual speed of the voice."""
    sound: SoundTally = UNSPOILT
    """How often the sound was degraded during the list."""
    basis: Basis | None = None
    """The facts and figures under which it ended."""
    settled: tuple[Settled, ...] = ()
    """What it left settled, and the right replies at the time."""
    recital: str = ""
    """How the memory items were recited, in words."""


@dataclass(frozen=True, slots=True)
class MomentCalled(SectorRecord):
    """A point in the flight was called out ("taxiing")."""

    moment: str
    utterance: Utterance


@dataclass(frozen=True, slots=True)
class SetUpStated(SectorRecord):
    """A fact of the set-up was stated between lists."""

    fact: str
    state: bool
    utterance: Utterance


@dataclass(frozen=True, slots=True)
class QuantityGiven(SectorRecord):
    """A quantity of the flight was stated, between lists or in the one that ended."""

    given: Given
    utterance: Utterance | None = None


@dataclass(frozen=True, slots=True)
class DeskCommanded(SectorRecord):
    """A control was understood between lists."""

    command: Command
    utterance: Utterance
    pace: float = 1.0
    """Factor on the usual speed of the voice."""
    quiet: bool = False
    """Pace and voice from now on."""


@dataclass(frozen=True, slots=True)
class DeskAsked(SectorRecord):
    """A question was put between lists."""

    question: DeskQuestion
    list_id: str = ""


@dataclass(frozen=True, slots=True)
class DeskDecided(SectorRecord):
    """It was answered, or dropped."""

    question: DeskQuestion
    choice: DeskChoice
    utterance: Utterance


@dataclass(frozen=True, slots=True)
class DeskMisunderstood(SectorRecord):
    """Words typed between lists, or answers, that have no meaning there."""

    utterance: Utterance


@dataclass(frozen=True, slots=True)
class SectorFailed(c.Failed, SectorRecord):
    """An engine or device gave up between lists."""


@dataclass(frozen=True, slots=True)
class SectorRecovered(c.Recovered, SectorRecord):
    """It came back."""


@dataclass(frozen=True, slots=True)
class SectorDisturbed(c.Disturbed, SectorRecord):
    """The sound was degraded between lists, or is good again."""


@dataclass(frozen=True, slots=True)
class SectorSuspended(c.Suspended, SectorRecord):
    """The program ended before the flight did; it can be resumed."""


@dataclass(frozen=True, slots=True)
class SectorEnded(SectorRecord):
    """The person ended the flight."""

    not_completed: tuple[str, ...] = ()
    """Lists that were due in it and never completed."""
