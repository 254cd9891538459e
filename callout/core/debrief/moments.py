"""A slip in detail: what was asked, heard and judged at an item, by whom and when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from callout.core.checklist_run import records as r
from callout.core.checklist_run.replay import apply_record
from callout.core.checklist_run.state import Progress
from callout.core.conversation import records as c
from callout.core.conversation.spoken_records import is_spoken
from callout.core.debrief.replies import reply_of
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.model.verdict import Verdict
from callout.core.sentences import moments as sentences

_VERDICTS = {Verdict.MATCH: "right", Verdict.MISMATCH: "wrong", Verdict.UNCLEAR: "unclear"}


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that happened."""

    at: float
    """Session time in seconds."""
    utc: datetime
    who: str
    """The tool, the crew or a seat, or the aircraft."""
    what: str
    slip: bool = False
    heard: int = 0
    """Number of the record of what was said aloud here; its sound may have been kept. 0: none."""


@dataclass(frozen=True, slots=True)
class Moment:
    """Everything that happened at one item where something went wrong."""

    item_id: str
    challenge: str
    right: tuple[str, ...]
    """Right replies."""
    steps: tuple[Step, ...]


@dataclass(slots=True)
class _Seen:
    steps: list[Step] = field(default_factory=list)


def moments_of(records: Sequence[c.JournalRecord]) -> tuple[Moment, ...]:
    """Return the items of a list's journal where something went wrong, in list order."""
    progress = Progress()
    seen: dict[str, _Seen] = {}
    began = records[0].at if records else 0.0
    for record in records:
        here = progress.item.id if progress.item else ""
        progress = apply_record(progress, record)
        where = getattr(record, "item_id", here) or here
        steps = [Step(record.at - began, record.utc, *told) for told in _told(record, progress)]
        if steps and is_spoken(record):
            steps[0] = replace(steps[0], heard=record.seq)
        seen.setdefault(where, _Seen()).steps.extend(steps)
    found = []
    for item in progress.plan.items:
        mine = seen.get(item.id)
        if mine and any(step.slip for step in mine.steps):
            right = tuple(dict.fromkeys(a.text for a in item.expectation.accepted))
            found.append(Moment(item.id, item.challenge, right, tuple(mine.steps)))
    return tuple(found)


def _told(record: c.JournalRecord, progress: Progress) -> Iterator[tuple[str, str, bool]]:
    """Yield who did what, and whether it is a slip."""
    match record:
        case r.Challenged():
            yield _challenge(record, progress)
        case r.Replied():
            yield from _reply(record)
        case r.Proved():
            yield sentences.AIRCRAFT, sentences.showed(record.found), False
        case r.Remarked():
            yield _who(record.utterance), sentences.remarked(record.utterance.words), False
        case r.Commanded():
            words = record.utterance.words or record.command.value
            yield _who(record.utterance), sentences.commanded(words), False
        case r.Held() | r.Continued():
            held = isinstance(record, r.Held)
            yield sentences.CREW, sentences.HELD if held else sentences.CONTINUED, False
        case _:
            yield from _choice(record)


def _choice(record: c.JournalRecord) -> Iterator[tuple[str, str, bool]]:
    match record:
        case r.Skipped():
            yield sentences.CREW, sentences.skipped(record.reason), True
        case r.Deferred():
            yield sentences.CREW, sentences.deferred(record.note), False
        case r.Reopened():
            yield sentences.CREW, sentences.reopened(record.because), False


def _challenge(record: r.Challenged, progress: Progress) -> tuple[str, str, bool]:
    early = bool(record.passed_over)
    if record.utterance:
        words = sentences.challenged_by_crew(record.utterance.words)
        return _who(record.utterance), words, early
    index = progress.plan.index(record.item_id)
    name = record.item_id if index is None else progress.plan.items[index].challenge
    return sentences.CALLOUT, sentences.asked(name, record.why.value), early


def _reply(record: r.Replied) -> Iterator[tuple[str, str, bool]]:
    said, fact = record.utterance, reply_of(record)
    how = "said" if said.source is ReplySource.VOICE else "typed"
    heard = sentences.heard(how, fact.verbatim, fact.taken_as, said.sure)
    yield _who(said), heard, False
    if record.found:
        yield sentences.AIRCRAFT, sentences.showed(record.found), False
    wrong = record.verdict is not Verdict.MATCH
    yield sentences.CALLOUT, sentences.judged(_VERDICTS[record.verdict], record.reason), wrong


def _who(said: Utterance) -> str:
    return f"{said.seat.value} seat" if said.seat else sentences.CREW
