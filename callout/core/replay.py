"""Records to progress: the only way a session's progress ever changes, live or read back."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import singledispatch

from callout.core import journal_records as r
from callout.core.causes import Choice, Question
from callout.core.conversation import records as c
from callout.core.conversation.progress import after_common
from callout.core.plan import Plan
from callout.core.state import ItemProgress, Outcome, PanelProgress, Progress
from callout.core.verdict import Verdict


def replay(records: Iterable[c.JournalRecord]) -> Progress:
    """Return the progress that ``records``, in order, lead to."""
    progress = Progress()
    for record in records:
        progress = apply(progress, record)
    return progress


def apply(progress: Progress, record: c.JournalRecord) -> Progress:
    """Return ``progress`` after one more record."""
    common = after_common(progress, record)
    changed = _apply(record, progress) if common is None else common
    return replace(changed, seq=record.seq, at=record.at)


@singledispatch
def _apply(record: c.JournalRecord, progress: Progress) -> Progress:
    raise TypeError(f"no rule for {type(record).__name__}")


@_apply.register
def _(record: r.Began, progress: Progress) -> Progress:
    blank = tuple(ItemProgress() for _ in record.plan.items)
    return Progress(
        session_id=record.session_id,
        plan=record.plan,
        items=blank,
        began=record.at,
        quiet=record.quiet,
        pace=record.pace,
        challenger=record.challenger,
    )


@_apply.register
def _(record: r.Challenged, progress: Progress) -> Progress:
    index = progress.plan.index(record.item_id)
    asked = _change(progress, record.item_id, lambda item: replace(item, asked=item.asked + 1))
    passed = progress.passed_over + bool(record.passed_over)
    return replace(asked, position=index, round=record.round, question=None, passed_over=passed)


@_apply.register
def _(record: r.Replied, progress: Progress) -> Progress:
    counted = _change(progress, record.item_id, lambda item: _judged(item, record))
    index = progress.plan.index(record.item_id)
    if record.verdict is not Verdict.MATCH or index is None:
        return counted
    if counted.items[index].accepted < progress.plan.items[index].replies:
        return counted
    return _left(counted, record.item_id, lambda item: replace(item, outcome=Outcome.ANSWERED))


@_apply.register
def _(record: r.Remarked, progress: Progress) -> Progress:
    return _change(progress, record.item_id, lambda item: replace(item, remarks=item.remarks + 1))


@_apply.register
def _(record: r.Commanded, progress: Progress) -> Progress:
    return replace(progress, commands=progress.commands + 1)


@_apply.register
def _(record: r.Asked, progress: Progress) -> Progress:
    asked = replace(progress, question=record.question, fact=record.fact)
    if record.question is Question.FLOW and progress.flow_began is None:
        return replace(asked, flow_began=record.at)
    return asked


@_apply.register
def _(record: r.Decided, progress: Progress) -> Progress:
    settled = replace(progress, question=None)
    if record.question is Question.FLOW:
        began = progress.flow_began
        seconds = None if began is None else round(record.at - began, 3)
        return replace(settled, flow_done=True, flow_seconds=seconds)
    if record.choice is Choice.TAKE_NOW:
        return replace(settled, round=progress.round + 1)
    if record.choice is Choice.LEAVE_OPEN:
        return _leave_open(settled)
    return settled


@_apply.register
def _(record: r.Skipped, progress: Progress) -> Progress:
    settled = replace(progress, question=None)
    return _left(
        settled,
        record.item_id,
        lambda item: replace(item, outcome=Outcome.SKIPPED, reason=record.reason),
    )


@_apply.register
def _(record: r.Deferred, progress: Progress) -> Progress:
    later = progress.round + 1
    settled = replace(progress, question=None)
    return _left(
        settled,
        record.item_id,
        lambda item: replace(item, deferred=True, due_round=later, note=record.note),
    )


@_apply.register
def _(record: r.NotApplicable, progress: Progress) -> Progress:
    return _change(
        progress,
        record.item_id,
        lambda item: replace(item, outcome=Outcome.NOT_APPLICABLE, reason=record.condition),
    )


@_apply.register
def _(record: r.Reopened, progress: Progress) -> Progress:
    index = progress.plan.index(record.item_id)
    trail = tuple(n for n in progress.trail if n != index)
    opened = _change(
        progress, record.item_id, lambda item: _opened(item, progress.round, record.because)
    )
    return replace(opened, trail=trail, question=None)


@_apply.register
def _(record: r.Held, progress: Progress) -> Progress:
    return replace(progress, held=True, holds=progress.holds + 1)


@_apply.register
def _(record: r.Continued, progress: Progress) -> Progress:
    return replace(progress, held=False)


@_apply.register
def _(record: r.Paced, progress: Progress) -> Progress:
    return replace(progress, pace=record.pace)


@_apply.register
def _(record: r.Quieted, progress: Progress) -> Progress:
    return replace(progress, quiet=record.quiet)


@_apply.register
def _(record: r.PanelDone, progress: Progress) -> Progress:
    done = PanelProgress(record.panel, record.seconds, progress.flow_misses, record.told)
    return replace(
        progress,
        flow_panels=progress.flow_panels + 1,
        flow_misses=0,
        panels=(*progress.panels, done),
    )


@_apply.register
def _(record: r.PanelNamed, progress: Progress) -> Progress:
    missed = record.verdict is Verdict.MISMATCH
    return replace(progress, flow_misses=progress.flow_misses + missed)


@_apply.register
def _(record: r.Stated, progress: Progress) -> Progress:
    asked = progress.question is Question.FACT and progress.fact == record.fact
    return replace(
        progress,
        facts={**progress.facts, record.fact: record.state},
        question=None if asked else progress.question,
    )


@_apply.register
def _(record: r.QuantityStated, progress: Progress) -> Progress:
    others = tuple(one for one in progress.given if one.name != record.given.name)
    return replace(progress, given=(*others, record.given), offered=None)


@_apply.register
def _(record: r.QuantityHeard, progress: Progress) -> Progress:
    return replace(progress, offered=record.given)


@_apply.register
def _(record: r.WantedAgain, progress: Progress) -> Progress:
    return replace(progress, again=tuple(dict.fromkeys((*progress.again, *record.item_ids))))


@_apply.register
def _(record: r.Replanned, progress: Progress) -> Progress:
    return _replanned(progress, record.plan)


@_apply.register
def _(record: r.Misunderstood, progress: Progress) -> Progress:
    return progress


@_apply.register
def _(record: r.Ended, progress: Progress) -> Progress:
    return replace(
        _leave_open(progress), ending=record.ending, call=record.call, question=None, held=False
    )


def _change(
    progress: Progress, item_id: str, change: Callable[[ItemProgress], ItemProgress]
) -> Progress:
    index = progress.plan.index(item_id)
    if index is None:
        return progress
    items = progress.items
    return replace(progress, items=(*items[:index], change(items[index]), *items[index + 1 :]))


def _left(
    progress: Progress, item_id: str, change: Callable[[ItemProgress], ItemProgress]
) -> Progress:
    index = progress.plan.index(item_id)
    if index is None:
        return progress
    moved = _change(progress, item_id, lambda item: replace(change(item), unclear_run=0))
    trail = (*(n for n in progress.trail if n != index), index)
    return replace(moved, trail=trail, question=None)


def _judged(item: ItemProgress, record: r.Replied) -> ItemProgress:
    heard = replace(item, heard=record.utterance.words, source=record.utterance.source)
    if record.verdict is Verdict.MISMATCH:
        return replace(heard, mismatches=item.mismatches + 1, unclear_run=0, accepted=0)
    if record.verdict is Verdict.UNCLEAR:
        return replace(heard, unclear=item.unclear + 1, unclear_run=item.unclear_run + 1)
    return replace(
        heard,
        accepted=item.accepted + 1,
        unclear_run=0,
        reply=record.reply or record.utterance.words,
        seconds=record.seconds,
        fast=record.fast,
        slow=record.slow,
    )


def _opened(item: ItemProgress, round_: int, because: str) -> ItemProgress:
    blank = replace(item, outcome=None, accepted=0, unclear_run=0, reply="")
    return replace(blank, due_round=round_, reason=because)


def _leave_open(progress: Progress) -> Progress:
    items = (replace(i, outcome=Outcome.LEFT_OPEN) if i.open else i for i in progress.items)
    return replace(progress, items=tuple(items))


def _replanned(progress: Progress, plan: Plan) -> Progress:
    before = {item.id: done for item, done in zip(progress.plan.items, progress.items, strict=True)}
    items = tuple(_carried(before.get(i.id, ItemProgress()), i.applicable) for i in plan.items)
    old_ids = [item.id for item in progress.plan.items]
    trail = tuple(n for n in (plan.index(old_ids[o]) for o in progress.trail) if n is not None)
    position = None if progress.position is None else plan.index(old_ids[progress.position])
    return replace(progress, plan=plan, items=items, trail=trail, position=position)


def _carried(item: ItemProgress, applicable: bool) -> ItemProgress:
    if applicable and item.outcome is Outcome.NOT_APPLICABLE:
        return replace(item, outcome=None, reason="")
    return item
