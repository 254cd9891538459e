"""What the records that nearly all journals are made of change in the rows of their list.

A second copy of these rules of the replay, for the few fields that rows have; ``quick_values`` says
what for, and a test holds both ways against each other.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Choice, Ending, Question
from callout.core.checklist_run.state import ItemOutcome
from callout.core.conversation import records as c
from callout.core.debrief.known_plans import KnownPlan, known_plan
from callout.core.model.verdict import Verdict

_ANSWERED, _SKIPPED, _DROPPED, _OPEN = (
    ItemOutcome.ANSWERED, ItemOutcome.SKIPPED, ItemOutcome.NOT_APPLICABLE, ItemOutcome.LEFT_OPEN
)  # fmt: skip


class QuickItem:
    """What the records changed at one item."""

    __slots__ = (
        "accepted", "asked", "deferred", "due", "early", "fast", "heard", "mismatches", "not_set",
        "outcome", "passed", "reason", "reply", "seconds", "slow", "unclear",
    )  # fmt: skip

    def __init__(self) -> None:
        self.outcome: ItemOutcome | None = None
        self.accepted = self.asked = self.due = self.mismatches = self.not_set = self.unclear = 0
        self.deferred = self.early = self.fast = self.passed = self.slow = False
        self.reason = self.reply = ""
        self.seconds = 0.0
        self.heard: list[r.Replied] = []

    @property
    def first_time(self) -> bool:
        """True when answered right at the first reply."""
        missed = self.mismatches or self.unclear or self.not_set
        return self.outcome is _ANSWERED and not missed


class QuickList:
    """A list while its records are taken in order."""

    __slots__ = (
        "at",
        "call",
        "current",
        "ending",
        "flow_began",
        "flow_seconds",
        "held",
        "hold_seconds",
        "holds",
        "items",
        "known",
        "passed_over",
        "resumes",
        "round",
    )  # fmt: skip

    def __init__(self, known: KnownPlan, began: r.Began) -> None:
        self.known = known
        self.items = [QuickItem() for _ in known.items]
        self.at = began.at
        self.current: QuickItem | None = None
        """The item last challenged."""
        self.ending: Ending | None = None
        self.flow_began: float | None = None
        self.flow_seconds: float | None = None
        self.held = False
        self.holds = self.passed_over = self.resumes = self.round = 0
        self.hold_seconds = 0.0

    def item(self, item_id: str) -> QuickItem | None:
        """Return an item by its id."""
        place = self.known.places.get(item_id)
        return None if place is None else self.items[place]

    def spend(self, record: c.JournalRecord) -> None:
        """Book the time since the last record to what was going on (as ``Story``)."""
        passed, self.at = record.at - self.at, record.at
        if 0 < passed < math.inf:
            item = self.current
            if self.held:
                self.hold_seconds += passed
            elif item is not None and item.outcome is None and item.due <= self.round:
                item.seconds += passed

    def leave_open(self) -> None:
        """Leave open what has no outcome."""
        for item in self.items:
            if item.outcome is None:
                item.outcome = _OPEN


def _challenged(seen: QuickList, record: r.Challenged) -> None:
    seen.current = item = seen.item(record.item_id)
    seen.round = record.round
    if record.passed_over:
        seen.passed_over += 1
        for name in record.passed_over:
            if (passed := seen.item(name)) is not None:
                passed.passed = True
    if item is not None:
        item.asked += 1
        item.early = item.early or bool(record.passed_over)


def _replied(seen: QuickList, record: r.Replied) -> None:
    place = seen.known.places.get(record.item_id)
    if place is None:
        return
    item = seen.items[place]
    item.heard.append(record)
    if record.verdict is Verdict.MATCH:
        item.accepted += 1
        item.reply = record.reply or record.utterance.words
        item.fast, item.slow = record.fast, record.slow
        if item.accepted >= seen.known.replies[place]:
            item.outcome = _ANSWERED
    elif record.verdict is Verdict.UNCLEAR:
        item.unclear += 1
    else:
        item.accepted = 0
        item.not_set += record.said is Verdict.MATCH
        item.mismatches += record.said is not Verdict.MATCH


def _asked(seen: QuickList, record: r.Asked) -> None:
    if record.question is Question.FLOW and seen.flow_began is None:
        seen.flow_began = record.at


def _decided(seen: QuickList, record: r.Decided) -> None:
    if record.question is Question.FLOW:
        began = seen.flow_began
        seen.flow_seconds = None if began is None else round(record.at - began, 3)
    elif record.question is Question.MEMORY:
        return
    elif record.choice is Choice.TAKE_NOW:
        seen.round += 1
    elif record.choice is Choice.LEAVE_OPEN:
        seen.leave_open()


def _skipped(seen: QuickList, record: r.Skipped) -> None:
    if (item := seen.item(record.item_id)) is not None:
        item.outcome, item.reason = _SKIPPED, record.reason


def _deferred(seen: QuickList, record: r.Deferred) -> None:
    if (item := seen.item(record.item_id)) is not None:
        item.deferred, item.due = True, seen.round + 1


def _dropped(seen: QuickList, record: r.NotApplicable) -> None:
    if (item := seen.item(record.item_id)) is not None:
        item.outcome, item.reason = _DROPPED, record.condition


def _held(seen: QuickList, record: r.Held) -> None:
    seen.held, seen.holds = True, seen.holds + 1


def _continued(seen: QuickList, record: r.Continued) -> None:
    seen.held = False


def _resumed(seen: QuickList, record: c.Resumed) -> None:
    seen.resumes += 1


def _ended(seen: QuickList, record: r.Ended) -> None:
    seen.leave_open()
    seen.ending, seen.held = record.ending, False


def _nothing(seen: QuickList, record: c.JournalRecord) -> None:
    """Take a record that changes nothing in a row."""


_RULES: Final[Mapping[type, Callable[[QuickList, Any], None]]] = {
    r.Challenged: _challenged,
    r.Replied: _replied,
    r.Asked: _asked,
    r.Decided: _decided,
    r.Skipped: _skipped,
    r.Deferred: _deferred,
    r.NotApplicable: _dropped,
    r.Held: _held,
    r.Continued: _continued,
    r.Ended: _ended,
    c.Resumed: _resumed,
    **dict.fromkeys(
        (r.Remarked, r.Commanded, r.FlowWorked, r.PanelDone, r.PanelNamed, r.Misunderstood,
         c.Failed, c.Recovered, c.Suspended),
        _nothing,
    ),
}  # fmt: skip
"""What the records that nearly all journals are made of change."""


def quick_list(records: Sequence[c.JournalRecord]) -> QuickList | None:
    """Return a list after its records; None: there are others among them."""
    began = records[0]
    if not isinstance(began, r.Began) or not (known := known_plan(began.plan)).plain:
        return None
    seen = QuickList(known, began)
    for record in records[1:]:
        rule = _RULES.get(type(record))
        if rule is None:
            return None
        seen.spend(record)
        rule(seen, record)
    return seen
