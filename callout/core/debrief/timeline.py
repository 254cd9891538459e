"""What happened when in one session: spans and moments in session time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from callout.core.checklist_run import records as r
from callout.core.checklist_run.replay import apply_record
from callout.core.checklist_run.state import Progress
from callout.core.conversation import records as c
from callout.core.conversation.records import Disturbed
from callout.core.model.verdict import Verdict


class SpanKind(Enum):
    """What went on during a span."""

    ITEM = "item"
    HOLD = "hold"
    QUESTION = "question"
    FLOW = "flow"


class MarkKind(Enum):
    """What happened at a moment."""

    RIGHT = "right"
    WRONG = "wrong reply"
    UNCLEAR = "unclear"
    SKIPPED = "skipped"
    DEFERRED = "deferred"
    EARLY = "out of order"
    REOPENED = "repeated"
    REMARK = "side remark"
    BREAK = "interrupted"
    FAILED = "equipment failure"
    SPOILT = "spoilt sound"


@dataclass(frozen=True, slots=True)
class Span:
    """A period; seconds of session time."""

    doing: SpanKind
    item_id: str
    begin: float
    end: float


@dataclass(frozen=True, slots=True)
class Mark:
    """Something that happened at a moment of session time."""

    moment: MarkKind
    item_id: str
    at: float
    words: str = ""
    """What was heard, or the reason."""
    asleep: float = 0.0
    """For a break: seconds of wall-clock time until the resume; 0 if there was none."""


@dataclass(frozen=True, slots=True)
class Timeline:
    """A session from its beginning (0) to its end."""

    spans: tuple[Span, ...]
    marks: tuple[Mark, ...]
    end: float


_VERDICTS = {
    Verdict.MATCH: MarkKind.RIGHT,
    Verdict.MISMATCH: MarkKind.WRONG,
    Verdict.UNCLEAR: MarkKind.UNCLEAR,
}


def timeline_of(records: Sequence[c.JournalRecord]) -> Timeline:
    """Return the timeline of a list's journal."""
    progress = Progress()
    spans: list[Span] = []
    marks: list[Mark] = []
    for record in records:
        if progress.session_id:
            _extend_spans(spans, progress, record.at)
        here = progress.item.id if progress.item else ""
        progress = apply_record(progress, record)
        marks.extend(_record_marks(record, here))
    began = records[0].at if records else 0.0
    return Timeline(
        tuple(replace(s, begin=s.begin - began, end=s.end - began) for s in spans),
        tuple(replace(m, at=m.at - began) for m in _with_breaks(marks, records)),
        max(0.0, progress.at - began),
    )


def _extend_spans(spans: list[Span], progress: Progress, until: float) -> None:
    """Add the time since the last record; a continued activity stays one span."""
    if until <= progress.at:
        return
    doing = _span_kind(progress)
    if doing is None:
        return
    item_id = progress.item.id if progress.item else ""
    last = spans[-1] if spans else None
    if last and (last.doing, last.item_id, last.end) == (doing, item_id, progress.at):
        spans[-1] = replace(last, end=until)
    else:
        spans.append(Span(doing, item_id, progress.at, until))


def _span_kind(progress: Progress) -> SpanKind | None:
    if progress.held:
        return SpanKind.HOLD
    if progress.flow_began is not None and not progress.flow_done:
        return SpanKind.FLOW
    if progress.item is not None:
        return SpanKind.ITEM
    return SpanKind.QUESTION if progress.question else None


def _record_marks(record: c.JournalRecord, here: str) -> list[Mark]:
    match record:
        case r.Replied():
            said = record.utterance.words
            return [Mark(_VERDICTS[record.verdict], record.item_id, record.at, said)]
        case r.Skipped():
            return [Mark(MarkKind.SKIPPED, record.item_id, record.at, record.reason)]
        case r.Deferred():
            return [Mark(MarkKind.DEFERRED, record.item_id, record.at, record.note)]
        case r.Challenged() if record.passed_over:
            return [Mark(MarkKind.EARLY, record.item_id, record.at)]
        case r.Reopened():
            return [Mark(MarkKind.REOPENED, record.item_id, record.at, record.because)]
        case r.Remarked():
            return [Mark(MarkKind.REMARK, record.item_id, record.at, record.utterance.words)]
        case c.Failed():
            return [Mark(MarkKind.FAILED, here, record.at, f"{record.part}: {record.message}")]
        case Disturbed(told=True, over=False):
            return [Mark(MarkKind.SPOILT, here, record.at, record.message)]
        case c.Suspended():
            return [Mark(MarkKind.BREAK, here, record.at, record.why)]
    return []


def _with_breaks(marks: list[Mark], records: Sequence[c.JournalRecord]) -> list[Mark]:
    """Add to each break its length on the wall clock."""
    gaps = []
    for n, record in enumerate(records):
        if isinstance(record, c.Suspended):
            following = records[n + 1] if n + 1 < len(records) else record
            gaps.append(max(0.0, (following.utc - record.utc).total_seconds()))
    slept = iter(gaps)
    return [replace(m, asleep=next(slept)) if m.moment is MarkKind.BREAK else m for m in marks]
