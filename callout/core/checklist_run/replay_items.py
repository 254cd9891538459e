"""How records change the items of a list."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from callout.core.checklist_run import records as r
from callout.core.checklist_run.state import ItemOutcome, ItemProgress, Progress
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan
from callout.core.state.proving import Standing


def change_item(
    progress: Progress, item_id: str, change: Callable[[ItemProgress], ItemProgress]
) -> Progress:
    """Return ``progress`` with one item changed."""
    index = progress.plan.index(item_id)
    if index is None:
        return progress
    items = progress.items
    return replace(progress, items=(*items[:index], change(items[index]), *items[index + 1 :]))


def leave_item(
    progress: Progress, item_id: str, change: Callable[[ItemProgress], ItemProgress]
) -> Progress:
    """Return ``progress`` with an item changed and added to those left behind."""
    index = progress.plan.index(item_id)
    if index is None:
        return progress
    moved = change_item(progress, item_id, lambda item: replace(change(item), unclear_run=0))
    trail = (*(n for n in progress.trail if n != index), index)
    return replace(moved, trail=trail, question=None)


def judged_item(item: ItemProgress, record: r.Replied) -> ItemProgress:
    """Return an item after a reply to it."""
    heard = replace(item, heard=record.utterance.words, source=record.utterance.source)
    if record.standing is not Standing.UNWATCHED:
        heard = replace(heard, standing=record.standing)
    if record.said is Verdict.MATCH and record.verdict is Verdict.MISMATCH:
        return replace(heard, not_set=item.not_set + 1, unclear_run=0, accepted=0)
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


def proved_item(item: ItemProgress, record: r.Proved) -> ItemProgress:
    """Return an item that the aircraft's own state has settled."""
    shown = replace(item, standing=Standing.SET, silent=True, reply=record.reply)
    return replace(shown, outcome=ItemOutcome.ANSWERED, unclear_run=0)


def reopened_item(item: ItemProgress, round_: int, because: str) -> ItemProgress:
    """Return an item without its outcome."""
    blank = replace(item, outcome=None, accepted=0, unclear_run=0, reply="")
    return replace(blank, due_round=round_, reason=because)


def off_the_way(item: ItemProgress, by: str, reason: str) -> ItemProgress:
    """Return an item that lies on another path; what was answered stays answered."""
    if not item.open:
        return item
    return replace(item, outcome=ItemOutcome.NOT_APPLICABLE, reason=reason, dropped_by=by)


def on_the_way(item: ItemProgress) -> ItemProgress:
    """Return an item as it was before it dropped out."""
    if not item.dropped_by:
        return item
    return replace(item, outcome=None, reason="", dropped_by="")


def leave_open(progress: Progress) -> Progress:
    """Return ``progress`` with every item that has no outcome left open."""
    items = (replace(i, outcome=ItemOutcome.LEFT_OPEN) if i.open else i for i in progress.items)
    return replace(progress, items=tuple(items))


def with_plan(progress: Progress, plan: Plan) -> Progress:
    """Return ``progress`` with another plan; answers are kept."""
    before = {item.id: done for item, done in zip(progress.plan.items, progress.items, strict=True)}
    items = tuple(_carried_over(before.get(i.id, ItemProgress()), i.applicable) for i in plan.items)
    old_ids = [item.id for item in progress.plan.items]
    trail = tuple(n for n in (plan.index(old_ids[o]) for o in progress.trail) if n is not None)
    position = None if progress.position is None else plan.index(old_ids[progress.position])
    return replace(progress, plan=plan, items=items, trail=trail, position=position)


def _carried_over(item: ItemProgress, applicable: bool) -> ItemProgress:
    if applicable and item.outcome is ItemOutcome.NOT_APPLICABLE and not item.dropped_by:
        return replace(item, outcome=None, reason="")
    return item
