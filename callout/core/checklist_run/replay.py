"""Turns records into progress: the only way a session's progress ever changes, live or on
replay.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import singledispatch

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Choice, Question
from callout.core.checklist_run.replay_flows import after_study, recital_result
from callout.core.checklist_run.replay_items import (
    change_item,
    judged_item,
    leave_item,
    leave_open,
    on_the_way,
    proved_item,
    reopened_item,
    with_plan,
)
from callout.core.checklist_run.state import ItemOutcome, ItemProgress, Progress
from callout.core.conversation import records as c
from callout.core.conversation.progress import after_common
from callout.core.model.verdict import Verdict


def replay_list(records: Iterable[c.JournalRecord]) -> Progress:
    """Return the progress that ``records``, in order, lead to."""
    progress = Progress()
    for record in records:
        progress = apply_record(progress, record)
    return progress


def apply_record(progress: Progress, record: c.JournalRecord) -> Progress:
    """Return ``progress`` after one more record."""
    common = after_common(progress, record)
    known = after_study(progress, record) if common is None else common
    changed = _apply_change(record, progress) if known is None else known
    return replace(changed, seq=record.seq, at=record.at)


@singledispatch
def _apply_change(record: c.JournalRecord, progress: Progress) -> Progress:
    raise TypeError(f"no rule for {type(record).__name__}")


@_apply_change.register
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


@_apply_change.register
def _(record: r.Challenged, progress: Progress) -> Progress:
    index = progress.plan.index(record.item_id)
    asked = change_item(progress, record.item_id, lambda item: replace(item, asked=item.asked + 1))
    passed = progress.passed_over + bool(record.passed_over)
    return replace(asked, position=index, round=record.round, question=None, passed_over=passed)


@_apply_change.register
def _(record: r.Replied, progress: Progress) -> Progress:
    counted = change_item(progress, record.item_id, lambda item: judged_item(item, record))
    index = progress.plan.index(record.item_id)
    if record.verdict is not Verdict.MATCH or index is None:
        return counted
    if counted.items[index].accepted < progress.plan.items[index].replies:
        return counted
    return leave_item(
        counted, record.item_id, lambda item: replace(item, outcome=ItemOutcome.ANSWERED)
    )


@_apply_change.register
def _(record: r.Proved, progress: Progress) -> Progress:
    return leave_item(progress, record.item_id, lambda item: proved_item(item, record))


@_apply_change.register
def _(record: r.Remarked, progress: Progress) -> Progress:
    return change_item(
        progress, record.item_id, lambda item: replace(item, remarks=item.remarks + 1)
    )


@_apply_change.register
def _(record: r.Commanded, progress: Progress) -> Progress:
    return replace(progress, commands=progress.commands + 1)


@_apply_change.register
def _(record: r.Asked, progress: Progress) -> Progress:
    asked = replace(progress, question=record.question, fact=record.fact)
    if record.question is Question.FLOW and progress.flow_began is None:
        return replace(asked, flow_began=record.at)
    if record.question is Question.MEMORY and progress.memory.began is None:
        return replace(asked, memory=replace(progress.memory, began=record.at))
    return asked


@_apply_change.register
def _(record: r.Decided, progress: Progress) -> Progress:
    settled = replace(progress, question=None)
    if record.question is Question.FLOW:
        began = progress.flow_began
        seconds = None if began is None else round(record.at - began, 3)
        return replace(settled, flow_done=True, flow_seconds=seconds)
    if record.question is Question.MEMORY:
        return replace(settled, memory=recital_result(progress, record.at))
    if record.choice is Choice.TAKE_NOW:
        return replace(settled, round=progress.round + 1)
    if record.choice is Choice.LEAVE_OPEN:
        return leave_open(settled)
    return settled


@_apply_change.register
def _(record: r.Skipped, progress: Progress) -> Progress:
    settled = replace(progress, question=None)
    return leave_item(
        settled,
        record.item_id,
        lambda item: replace(item, outcome=ItemOutcome.SKIPPED, reason=record.reason),
    )


@_apply_change.register
def _(record: r.Deferred, progress: Progress) -> Progress:
    later = progress.round + 1
    settled = replace(progress, question=None)
    return leave_item(
        settled,
        record.item_id,
        lambda item: replace(item, deferred=True, due_round=later, note=record.note),
    )


@_apply_change.register
def _(record: r.NotApplicable, progress: Progress) -> Progress:
    return change_item(
        progress,
        record.item_id,
        lambda item: replace(item, outcome=ItemOutcome.NOT_APPLICABLE, reason=record.condition),
    )


@_apply_change.register
def _(record: r.Reopened, progress: Progress) -> Progress:
    index = progress.plan.index(record.item_id)
    trail = tuple(n for n in progress.trail if n != index)
    opened = change_item(
        progress, record.item_id, lambda item: reopened_item(item, progress.round, record.because)
    )
    items = (on_the_way(i) if i.dropped_by == record.item_id else i for i in opened.items)
    ways = {name: to for name, to in progress.ways.items() if name != record.item_id}
    return replace(opened, items=tuple(items), ways=ways, trail=trail, question=None)


@_apply_change.register
def _(record: r.Held, progress: Progress) -> Progress:
    return replace(progress, held=True, holds=progress.holds + 1)


@_apply_change.register
def _(record: r.Continued, progress: Progress) -> Progress:
    return replace(progress, held=False)


@_apply_change.register
def _(record: r.Paced, progress: Progress) -> Progress:
    return replace(progress, pace=record.pace)


@_apply_change.register
def _(record: r.Quieted, progress: Progress) -> Progress:
    return replace(progress, quiet=record.quiet)


@_apply_change.register
def _(record: r.Stated, progress: Progress) -> Progress:
    asked = progress.question is Question.FACT and progress.fact == record.fact
    return replace(
        progress,
        facts={**progress.facts, record.fact: record.state},
        known_at={**progress.known_at, record.fact: record.at},
        question=None if asked else progress.question,
    )


@_apply_change.register
def _(record: r.QuantityStated, progress: Progress) -> Progress:
    others = tuple(one for one in progress.given if one.name != record.given.name)
    known_at = {**progress.known_at, record.given.name: record.at}
    return replace(progress, given=(*others, record.given), known_at=known_at, offered=None)


@_apply_change.register
def _(record: r.QuantityHeard, progress: Progress) -> Progress:
    return replace(progress, offered=record.given)


@_apply_change.register
def _(record: r.WantedAgain, progress: Progress) -> Progress:
    return replace(progress, again=tuple(dict.fromkeys((*progress.again, *record.item_ids))))


@_apply_change.register
def _(record: r.Replanned, progress: Progress) -> Progress:
    return with_plan(progress, record.plan)


@_apply_change.register
def _(record: r.Misunderstood, progress: Progress) -> Progress:
    return progress


@_apply_change.register
def _(record: r.Ended, progress: Progress) -> Progress:
    return replace(
        leave_open(progress), ending=record.ending, call=record.call, question=None, held=False
    )
