"""A journal read once through: its progress, and what its records say of each item besides."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from callout.core.checklist_run import records as r
from callout.core.checklist_run.replay import apply_record
from callout.core.checklist_run.state import Progress
from callout.core.conversation import records as c
from callout.core.debrief.facts import ReplyFact
from callout.core.debrief.replies import reply_of


@dataclass(slots=True)
class SeenItem:
    """What the records say of one item besides its progress."""

    replies: list[ReplyFact] = field(default_factory=list)
    seconds: float = 0.0
    """Session time spent at it, holds left out."""
    round: int = 0
    """0 in list order, later for a deferred item."""
    early: bool = False
    passed: bool = False


@dataclass(slots=True)
class Story:
    """A journal read once through."""

    progress: Progress = field(default_factory=Progress)
    items: dict[str, SeenItem] = field(default_factory=dict)
    hold_seconds: float = 0.0

    def take(self, record: c.JournalRecord) -> None:
        """Add the next record."""
        passed = record.at - self.progress.at
        self._spend(passed if 0 < passed < math.inf else 0.0)
        self.progress = apply_record(self.progress, record)
        match record:
            case r.Challenged():
                seen = self.seen(record.item_id)
                seen.round = record.round
                seen.early = seen.early or bool(record.passed_over)
                for item_id in record.passed_over:
                    self.seen(item_id).passed = True
            case r.Replied():
                self.seen(record.item_id).replies.append(reply_of(record))

    def seen(self, item_id: str) -> SeenItem:
        """Return what was seen of an item so far."""
        return self.items.setdefault(item_id, SeenItem())

    def _spend(self, seconds: float) -> None:
        """Book the time since the last record to what was going on."""
        progress = self.progress
        if progress.held:
            self.hold_seconds += seconds
        elif progress.item is not None:
            self.seen(progress.item.id).seconds += seconds
