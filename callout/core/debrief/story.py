"""Reads a journal once: its progress, and what else its records say about each item."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from callout.core.checklist_run import records as r
from callout.core.checklist_run.state import Progress
from callout.core.conversation import records as c
from callout.core.debrief.facts import ReplyFact
from callout.core.debrief.replies import reply_of
from callout.core.debrief.tally import Tally


@dataclass(slots=True)
class SeenItem:
    """What the records say about one item, apart from its progress."""

    replies: list[ReplyFact] = field(default_factory=list)
    seconds: float = 0.0
    """Session time spent at it, without holds."""
    round: int = 0
    """0 in list order, later for a deferred item."""
    early: bool = False
    passed: bool = False


@dataclass(slots=True)
class Story:
    """A journal read once through."""

    tally: Tally = field(default_factory=Tally)
    items: dict[str, SeenItem] = field(default_factory=dict)
    hold_seconds: float = 0.0

    def take(self, record: c.JournalRecord) -> None:
        """Add the next record."""
        passed = record.at - self.tally.at
        if 0 < passed < math.inf:
            self._spend(passed)
        self.tally.take(record)
        match record:
            case r.Challenged():
                seen = self.seen(record.item_id)
                seen.round = record.round
                seen.early = seen.early or bool(record.passed_over)
                for item_id in record.passed_over:
                    self.seen(item_id).passed = True
            case r.Replied():
                self.seen(record.item_id).replies.append(reply_of(record))

    @property
    def progress(self) -> Progress:
        """The progress after the records taken so far."""
        return self.tally.progress

    def seen(self, item_id: str) -> SeenItem:
        """Return what is known about an item so far."""
        found = self.items.get(item_id)
        if found is None:
            found = self.items[item_id] = SeenItem()
        return found

    def _spend(self, seconds: float) -> None:
        """Add the time since the last record to what was going on."""
        if self.tally.held:
            self.hold_seconds += seconds
        elif (current := self.tally.current) is not None:
            self.seen(current).seconds += seconds
