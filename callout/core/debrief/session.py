"""A debrief of one session: how it went, and what to do next."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import PurePath

from callout.core.checklist_run.causes import NOT_SET, Ending
from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.advice import Advice, advise_session
from callout.core.debrief.deviations import CLASSES, Deviation
from callout.core.debrief.facts import FlightFact, ItemFact, SessionFact
from callout.core.debrief.moments import Moment
from callout.core.debrief.timeline import Timeline
from callout.core.debrief.usual_times import Usual
from callout.core.model.counting import counted_noun, times_words

OUTCOME = {
    ItemOutcome.ANSWERED: "answered",
    ItemOutcome.SKIPPED: "skipped",
    ItemOutcome.NOT_APPLICABLE: "not applicable",
    ItemOutcome.LEFT_OPEN: "left open",
    None: "not reached",
}


@dataclass(frozen=True, slots=True)
class Looked:
    """One item with its usual times."""

    item: ItemFact
    usual: Usual | None = None
    slow: bool = False
    """The first reply took as long as one that counts as slow."""

    @property
    def against_usual(self) -> str:
        """ "slower than usual", "faster than usual" or ""."""
        seconds = self.item.reply_seconds
        return self.usual.says(seconds) if self.usual and seconds is not None else ""

    @property
    def outcome(self) -> str:
        """How it ended, in words."""
        item = self.item
        if item.outcome is ItemOutcome.ANSWERED:
            return "right first time" if item.first_time else "right in the end"
        return OUTCOME[item.outcome]

    @property
    def notes(self) -> tuple[str, ...]:
        """Everything worth saying about it, in words."""
        item = self.item
        said = (
            (f"wrong reply {times_words(item.mismatches)}", item.mismatches > 0),
            (f"said, not set {times_words(item.not_set)}", item.not_set > 0),
            (f"unclear {times_words(item.unclear)}", item.unclear > 0),
            ("skipped" + (f": {item.skip_reason}" if item.skip_reason else ""), item.skipped),
            ("deferred", item.deferred),
            ("out of order", item.out_of_order),
            ("passed over", item.passed_over),
            ("too fast to have looked", item.fast),
            ("slow", item.slow),
            (self.against_usual, bool(self.against_usual)),
        )
        return tuple(text for text, on in said if on)


@dataclass(frozen=True, slots=True)
class Group:
    """Items of one kind."""

    name: str
    lines: tuple[tuple[ItemFact, str], ...]
    """Each with a detail in words."""


@dataclass(frozen=True, slots=True)
class Debrief:
    """One session in full."""

    session: SessionFact
    items: tuple[Looked, ...]
    timeline: Timeline
    groups: tuple[Group, ...]
    advice: tuple[Advice, ...]
    moments: tuple[Moment, ...] = ()
    """Items where something went wrong, for a closer look."""
    sounds: Mapping[int, PurePath] = field(default_factory=dict)
    """Kept replies, by the number of their record."""

    @property
    def asked(self) -> tuple[Looked, ...]:
        """Items that applied."""
        return tuple(i for i in self.items if i.item.outcome is not ItemOutcome.NOT_APPLICABLE)


@dataclass(frozen=True, slots=True)
class SessionReport:
    """What is debriefed together: one session, or the lists of one flight."""

    debriefs: tuple[Debrief, ...]
    flight: FlightFact | None = None
    problems: tuple[str, ...] = ()
    """Journals that could not be read."""
    lead: tuple[str, ...] = ()
    """What changed since last time, and what to do tonight; empty for a flight."""
    note: str = ""
    """What this report cannot show."""
    note_here: str = ""
    """Where on this machine that is; told to whoever asks, and never written into a report."""

    @property
    def title(self) -> str:
        """Its name."""
        return self.flight.title if self.flight else self.debriefs[0].session.title


def debrief_of(
    session: SessionFact,
    items: tuple[ItemFact, ...],
    timeline: Timeline,
    usual: Mapping[str, Usual],
    moments: tuple[Moment, ...] = (),
) -> Debrief:
    """Return the debrief of one session."""
    slow = min((i.right_seconds or 0.0 for i in items if i.slow), default=None)
    looked = tuple(Looked(i, usual.get(i.item_id), _as_slow(i, slow)) for i in items)
    groups = tuple(g for g in (_item_group(name, looked, *how) for name, how in _GROUPS) if g.lines)
    advice = advise_session(session, items, timeline)
    return Debrief(session, looked, timeline, groups, advice, moments)


def _as_slow(item: ItemFact, slow: float | None) -> bool:
    return bool(slow) and (item.reply_seconds or 0.0) >= (slow or 0.0)


Chosen = Callable[[Looked], bool]
Detail = Callable[[Looked], str]


def _item_group(name: str, looked: tuple[Looked, ...], chosen: Chosen, detail: Detail) -> Group:
    return Group(name, tuple((x.item, detail(x)) for x in looked if chosen(x)))


def _heard_wrong(looked: Looked) -> str:
    heard = looked.item.heard
    wrong = [r for r in heard if r.verdict.value == "mismatch" and r.code != NOT_SET]
    said = ", ".join(f'"{reply.words}"' for reply in wrong)
    return f"said {said}" if said else times_words(looked.item.mismatches)


def _what_stood(looked: Looked) -> str:
    reasons = [r.reason.rstrip(".") for r in looked.item.heard if r.code == NOT_SET]
    return "; ".join(dict.fromkeys(reasons)) or times_words(looked.item.not_set)


def _how_deferred(looked: Looked) -> str:
    item = looked.item
    return (
        f"then answered: {item.reply}" if item.outcome is ItemOutcome.ANSWERED else looked.outcome
    )


def _reply_seconds(looked: Looked) -> str:
    item, usual = looked.item, looked.usual
    own = f", usually {usual.median:.1f} s" if usual else ""
    marked = item.fast or item.slow
    seconds = item.right_seconds if marked else item.reply_seconds
    again = " after another try" if marked and not item.first_time else ""
    return "" if seconds is None else f"{seconds:.1f} s{again}{own}"


def _left_open(looked: Looked) -> bool:
    return looked.item.outcome in (None, ItemOutcome.LEFT_OPEN)


_GROUPS: tuple[tuple[str, tuple[Chosen, Detail]], ...] = (
    ("Wrong replies", (lambda x: x.item.mismatches > 0, _heard_wrong)),
    ("Said, not set", (lambda x: x.item.not_set > 0, _what_stood)),
    ("Skipped", (lambda x: x.item.skipped and not x.item.skip_reason, lambda x: "no reason given")),
    ("Left open", (_left_open, lambda x: "deferred" if x.item.deferred else "")),
    ("Out of order", (lambda x: x.item.out_of_order, lambda x: "challenged before its turn")),
    ("Passed over", (lambda x: x.item.passed_over, lambda x: "another was challenged first")),
    ("Too fast to have looked", (lambda x: x.item.fast, _reply_seconds)),
    ("Deferred", (lambda x: x.item.deferred and not _left_open(x), _how_deferred)),
    ("Unclear", (lambda x: x.item.unclear > 0, lambda x: times_words(x.item.unclear))),
    ("From memory", (lambda x: bool(x.item.recital), lambda x: x.item.recital)),
    ("Not in this simulator", (lambda x: x.item.not_fitted, lambda x: "left out")),
    ("Skipped for a reason", (lambda x: bool(x.item.skip_reason), lambda x: x.item.skip_reason)),
    (
        "Slow",
        (lambda x: x.item.slow or x.slow or x.against_usual == "slower than usual", _reply_seconds),
    ),
)


def ending_words(session: SessionFact) -> str:
    """Return how a list ended."""
    if session.ending is Ending.COMPLETED:
        return "completed"
    return "stopped, not complete" if session.ending else "interrupted, not complete"


def session_headline(session: SessionFact) -> str:
    """Return one sentence about a session."""
    right = f"{session.first_time} of {counted_noun(session.items, 'item')} right first time"
    return f"{session.title}: {ending_words(session)}, {right}."


def hand_lines(session: SessionFact) -> Iterator[str]:
    """Yield what the hands did in the flow, as far as the aircraft showed it."""
    hands = session.hands
    if hands is None:
        return
    yield f"hands: {counted_noun(len(session.hand_moves), 'move')}"
    told = (
        ("missed", hands.missed),
        ("not in the flow", hands.mistaken),
        ("moved back", hands.back),
    )
    yield from (f"{what}: {' and '.join(names)}" for what, names in told if names)


def classes_of(report: SessionReport) -> dict[Deviation, int]:
    """Return how often each class of deviation occurred."""
    found = [d for x in report.debriefs for d in x.session.deviations]
    found += [d for x in report.debriefs for i in x.items for d in i.item.deviations]
    if report.flight:
        found += [Deviation.NEVER_STARTED] * len(report.flight.never_started)
    return {d: found.count(d) for d in CLASSES if d in found}
