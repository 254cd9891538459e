"""Flat rows from journals: one per session, one per item, one per flight."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.state import ItemOutcome
from callout.core.conversation.sound import UNSPOILT, SoundTally
from callout.core.debrief.deviations import Deviation
from callout.core.model.checklist import Role
from callout.core.model.verdict import Verdict
from callout.core.state.flow_watch import HandMove, Hands


@dataclass(frozen=True, slots=True)
class ReplyFact:
    """One reply to an item as it was judged."""

    at: float
    """Session time in seconds."""
    text: str
    """The phrase understood, or the best guess."""
    transcript: str
    """Word for word as the engine wrote it, or as typed."""
    verdict: Verdict
    code: str
    reason: str
    seconds: float | None = None
    """From the end of the challenge to the beginning of the reply; None where typed."""
    source: str = ""
    sure: bool = True
    seat: str = ""

    @property
    def words(self) -> str:
        """What to show as heard (see ``Utterance.words``)."""
        return (self.text or self.transcript) if self.sure else (self.transcript or self.text)

    @property
    def verbatim(self) -> str:
        """Word for word, as far as it was stored."""
        return self.transcript or self.text

    @property
    def taken_as(self) -> str:
        """The phrase it was taken for, if that differs; else ""."""
        return "" if _bare_text(self.text) in ("", _bare_text(self.transcript)) else self.text


def _bare_text(text: str) -> str:
    return " ".join("".join(c if c.isalnum() else " " for c in text).casefold().split())


@dataclass(frozen=True, slots=True)
class ItemFact:
    """The outcome of one item in one session."""

    session_id: str
    began: datetime
    person: str
    aircraft: str
    list_id: str
    phase: str
    """A phase of flight as lists write it; empty if the journal does not say."""
    item_id: str
    position: int
    """Index in the list."""
    challenge: str
    title: str = ""
    """Of its list."""
    section: str = ""
    role: Role = Role.EITHER
    critical: bool = False
    outcome: ItemOutcome | None = None
    """None: an unfinished list has not reached it."""
    asked: int = 0
    """Times it was challenged, repeats included."""
    tries: int = 0
    """Replies judged."""
    mismatches: int = 0
    """Wrong replies."""
    unclear: int = 0
    """Unclear replies."""
    not_set: int = 0
    """Right replies that the aircraft contradicted."""
    shown: str = ""
    """What the aircraft showed at the last reply, in the names of ``Standing``; empty: nothing."""
    deferred: bool = False
    skipped: bool = False
    skip_reason: str = ""
    out_of_order: bool = False
    """A person challenged it out of order."""
    passed_over: bool = False
    """A later item was challenged before it."""
    fast: bool = False
    slow: bool = False
    reply_seconds: float | None = None
    """From the end of the challenge to the start of the first reply that was judged."""
    total_seconds: float = 0.0
    """Time for which it was the item being asked, without holds."""
    first_time: bool = False
    """Answered right at the first reply."""
    round: int = 0
    """Round in which it was last challenged; 1 or more once it was deferred."""
    reply: str = ""
    """The accepted answer that settled it."""
    not_fitted: bool = False
    """Left out because the simulator has no such part."""
    recital: str = ""
    """How it was recited from memory, in words; empty: it is not a memory item."""
    heard: tuple[ReplyFact, ...] = ()
    """Every reply, in order, word for word."""
    deviations: tuple[Deviation, ...] = ()

    @property
    def right_seconds(self) -> float | None:
        """Time of the reply that settled it; ``fast`` and ``slow`` refer to it."""
        right = [reply.seconds for reply in self.heard if reply.verdict is Verdict.MATCH]
        return right[-1] if right else None

    @property
    def met(self) -> bool:
        """True when the person had a chance at it: it was challenged, or they skipped it."""
        applies = self.outcome is not ItemOutcome.NOT_APPLICABLE
        return applies and (self.asked > 0 or self.skipped)


@dataclass(frozen=True, slots=True)
class SessionFact:
    """The outcome of one session."""

    session_id: str
    began: datetime
    """UTC."""
    ended: datetime
    """Time of the last stored record."""
    person: str = ""
    """Name of the crew as set; empty if unknown."""
    school: str = ""
    """As given when it was collected; journals do not contain it."""
    aircraft: str = ""
    operator: str = ""
    list_id: str = ""
    title: str = ""
    phase: str = ""
    method: str = ""
    flight: str = ""
    """Id of the flight it belongs to."""
    drill: str = ""
    """Kind of drill that ran the list; empty for an ordinary run."""
    hearing: str = ""
    """The recogniser, or "keyboard"."""
    ending: Ending | None = None
    """None: interrupted; it can be resumed."""
    call: str = ""
    """The completion call as given; empty if there was none."""
    minutes: float = 0.0
    """Session time without breaks."""
    items: int = 0
    """Items that applied."""
    first_time: int = 0
    """Items answered right at the first reply."""
    skipped: int = 0
    deferred: int = 0
    mismatches: int = 0
    """Wrong replies, all items together; unclear ones likewise."""
    unclear: int = 0
    not_set: int = 0
    fast: int = 0
    slow: int = 0
    out_of_order: int = 0
    holds: int = 0
    hold_seconds: float = 0.0
    resumes: int = 0
    failures: int = 0
    sound: SoundTally = UNSPOILT
    remarks: int = 0
    flow_seconds: float | None = None
    """From the call for the flow to its end; None if there was none."""
    hands: Hands | None = None
    """Positions of the controls after the flow; None: unknown."""
    hand_moves: tuple[HandMove, ...] = ()
    """What was moved in it; times in seconds from its beginning."""
    flow_panels: tuple[tuple[str, tuple[float, float] | None], ...] = ()
    """The panels of the flow as taught, with the place of each."""
    hand_way: tuple[str, ...] = ()
    """The panels in the order in which the hands reached them."""
    flow_stage: str = ""
    """The stage reached in learning the flow; empty: it was not a learning stage."""
    flow_lacking: tuple[str, ...] = ()
    """Controls left out of the flow because the simulator lacks them."""
    memory_seconds: float | None = None
    """Duration of the memory recital; None: there was none."""
    flow_misses: int = 0
    """Other panels named first, or panels prompted, if a flow was asked from memory."""
    deviations: tuple[Deviation, ...] = ()
    """Deviations of the list as a whole, without those of its items."""


@dataclass(frozen=True, slots=True)
class FlightFact:
    """The outcome of one flight."""

    flight: str
    began: datetime
    ended: datetime
    person: str = ""
    school: str = ""
    """As for a session."""
    aircraft: str = ""
    operator: str = ""
    title: str = ""
    finished: bool = False
    lists: tuple[tuple[str, str], ...] = ()
    """Id and title of every list, in flight order, drills last."""
    called: tuple[str, ...] = ()
    """Ids of the lists called for, in order."""
    warned: tuple[str, ...] = ()
    """Journals of the lists called before one that comes first."""
    not_completed: tuple[str, ...] = ()
    """Titles of lists that were due but not completed."""
    never_started: tuple[str, ...] = ()
    """Titles of due lists not called for before a later one was."""
    resumes: int = 0

    @property
    def deviations(self) -> tuple[Deviation, ...]:
        """One for each list called at the wrong time, or not at all."""
        wrong = (Deviation.WRONG_TIME,) * len(self.warned)
        return wrong + (Deviation.NEVER_STARTED,) * len(self.never_started)


@dataclass(frozen=True, slots=True)
class Facts:
    """All rows of some journals, oldest session first."""

    sessions: tuple[SessionFact, ...] = ()
    items: tuple[ItemFact, ...] = ()
    """In session order, then in list order."""
    flights: tuple[FlightFact, ...] = ()

    def of(self, session_id: str) -> Facts:
        """Return the rows of one session."""
        sessions = tuple(s for s in self.sessions if s.session_id == session_id)
        items = tuple(i for i in self.items if i.session_id == session_id)
        flights = {s.flight for s in sessions}
        return Facts(sessions, items, tuple(f for f in self.flights if f.flight in flights))
