"""Applies a list's records in place: the result of a replay, without a new progress for each
record.

The records that make up nearly all of a journal change a few numbers here. All others go through
the replay rules themselves, so only five rules exist twice.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending, Question
from callout.core.checklist_run.replay import apply_record
from callout.core.checklist_run.state import ItemOutcome, ItemProgress, Progress
from callout.core.conversation import records as c
from callout.core.model.utterance import ReplySource
from callout.core.model.verdict import Verdict
from callout.core.state.proving import Standing


class ItemTally:
    """What challenges and replies change at one item."""

    __slots__ = (
        "accepted",
        "asked",
        "before",
        "fast",
        "heard",
        "mismatches",
        "not_set",
        "outcome",
        "reason",
        "reply",
        "seconds",
        "slow",
        "source",
        "standing",
        "unclear",
        "unclear_run",
    )

    def __init__(self, item: ItemProgress) -> None:
        self.before = item
        self.outcome: ItemOutcome | None = item.outcome
        self.asked, self.accepted = item.asked, item.accepted
        self.mismatches, self.not_set = item.mismatches, item.not_set
        self.unclear, self.unclear_run = item.unclear, item.unclear_run
        self.standing: Standing = item.standing
        self.reply, self.heard, self.reason = item.reply, item.heard, item.reason
        self.source: ReplySource | None = item.source
        self.seconds: float | None = item.seconds
        self.fast, self.slow = item.fast, item.slow

    def judge(self, record: r.Replied) -> None:
        """Apply a reply (like ``judged_item``)."""
        self.heard, self.source = record.utterance.words, record.utterance.source
        if record.standing is not Standing.UNWATCHED:
            self.standing = record.standing
        if record.verdict is Verdict.MATCH:
            self.accepted += 1
            self.reply = record.reply or record.utterance.words
            self.seconds, self.fast, self.slow = record.seconds, record.fast, record.slow
        elif record.verdict is Verdict.UNCLEAR:
            self.unclear += 1
            self.unclear_run += 1
            return
        else:
            self.accepted = 0
            if record.said is Verdict.MATCH:
                self.not_set += 1
            else:
                self.mismatches += 1
        self.unclear_run = 0

    def frozen(self) -> ItemProgress:
        """Return the item as a replay would."""
        before = self.before
        return ItemProgress(  # a third of the time of ``replace``
            outcome=self.outcome,
            deferred=before.deferred,
            due_round=before.due_round,
            asked=self.asked,
            mismatches=self.mismatches,
            not_set=self.not_set,
            standing=self.standing,
            silent=before.silent,
            unclear=self.unclear,
            unclear_run=self.unclear_run,
            remarks=before.remarks,
            accepted=self.accepted,
            reply=self.reply,
            heard=self.heard,
            source=self.source,
            reason=self.reason,
            note=before.note,
            dropped_by=before.dropped_by,
            seconds=self.seconds,
            fast=self.fast,
            slow=self.slow,
            recited=before.recited,
        )


@dataclass(slots=True)
class Tally:
    """The progress of a list, changed in place."""

    seq: int = 0
    at: float = 0.0
    """Like those of ``Progress``, here and below."""
    position: int | None = None
    round: int = 0
    question: Question | None = None
    passed_over: int = 0
    commands: int = 0
    held: bool = False
    ending: Ending | None = None
    call: str = ""
    trail: list[int] = field(default_factory=list)
    _whole: Progress = field(default_factory=Progress)
    """The state when a record last went through the replay."""
    _behind: bool = False
    """True: more records have been applied since."""
    _items: dict[int, ItemTally] = field(default_factory=dict)
    """Items changed since."""
    _places: dict[str, int] = field(default_factory=dict)

    def take(self, record: c.JournalRecord) -> None:
        """Add the next record."""
        match record:
            case r.Replied():
                self._replied(record)
            case r.Challenged():
                self._challenged(record)
            case r.Commanded():
                self.commands += 1
            case r.NotApplicable():
                self._dropped(record)
            case r.Ended():
                self._ended(record)
            case _:
                self._thaw(apply_record(self.progress, record))
                return
        self.seq, self.at, self._behind = record.seq, record.at, True

    @property
    def current(self) -> str | None:
        """Id of the item being asked; None: none is."""
        place = self.position
        if place is None:
            return None
        changed = self._items.get(place)
        before = self._whole.items[place]
        outcome = before.outcome if changed is None else changed.outcome
        if outcome is not None or before.due_round > self.round:
            return None
        return self._whole.plan.items[place].id

    @property
    def progress(self) -> Progress:
        """The progress that a replay of the same records would give."""
        if self._behind:
            items = list(self._whole.items)
            for place, item in self._items.items():
                items[place] = item.frozen()
            self._whole = replace(
                self._whole,
                seq=self.seq,
                at=self.at,
                items=tuple(items),
                position=self.position,
                round=self.round,
                question=self.question,
                passed_over=self.passed_over,
                commands=self.commands,
                held=self.held,
                ending=self.ending,
                call=self.call,
                trail=tuple(self.trail),
            )
            self._items.clear()
            self._behind = False
        return self._whole

    def _thaw(self, whole: Progress) -> None:
        if whole.plan is not self._whole.plan:
            pairs = reversed(list(enumerate(whole.plan.items)))
            self._places = {item.id: place for place, item in pairs}
        self._whole = whole
        self.seq, self.at = whole.seq, whole.at
        self.position, self.round = whole.position, whole.round
        self.question, self.passed_over = whole.question, whole.passed_over
        self.commands, self.held = whole.commands, whole.held
        self.ending, self.call = whole.ending, whole.call
        self.trail = list(whole.trail)

    def _item(self, place: int) -> ItemTally:
        found = self._items.get(place)
        if found is None:
            found = self._items[place] = ItemTally(self._whole.items[place])
        return found

    def _challenged(self, record: r.Challenged) -> None:
        place = self._places.get(record.item_id)
        if place is not None:
            self._item(place).asked += 1
        self.position, self.round, self.question = place, record.round, None
        self.passed_over += bool(record.passed_over)

    def _replied(self, record: r.Replied) -> None:
        place = self._places.get(record.item_id)
        if place is None:
            return
        item = self._item(place)
        item.judge(record)
        wanted = self._whole.plan.items[place].replies
        if record.verdict is Verdict.MATCH and item.accepted >= wanted:
            item.outcome, item.unclear_run, self.question = ItemOutcome.ANSWERED, 0, None
            if place in self.trail:
                self.trail = [n for n in self.trail if n != place]
            self.trail.append(place)

    def _dropped(self, record: r.NotApplicable) -> None:
        place = self._places.get(record.item_id)
        if place is not None:
            item = self._item(place)
            item.outcome, item.reason = ItemOutcome.NOT_APPLICABLE, record.condition

    def _ended(self, record: r.Ended) -> None:
        for place in range(len(self._whole.items)):
            item = self._item(place)
            if item.outcome is None:
                item.outcome = ItemOutcome.LEFT_OPEN
        self.ending, self.call = record.ending, record.call
        self.question, self.held = None, False
