"""Replay rules for flows, for recitals from memory, and for paths taken."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run import flow_records as r
from callout.core.checklist_run.replay_items import change_item, leave_item, off_the_way, on_the_way
from callout.core.checklist_run.state import (
    ControlProgress,
    ItemOutcome,
    ItemProgress,
    MemoryProgress,
    PanelProgress,
    Progress,
)
from callout.core.conversation.records import JournalRecord
from callout.core.model.verdict import Verdict
from callout.core.state.flow_watch import HandMove, Hands


def after_study(progress: Progress, record: JournalRecord) -> Progress | None:
    """Return the progress after a record of these kinds; None for any other record."""
    match record:
        case r.Led():
            return _list_led_on(record, progress)
        case r.Recited():
            return _item_recited(record, progress)
        case r.Prompted():
            return _item_prompted(record, progress)
        case r.PanelDone():
            return _panel_done(record, progress)
        case r.PanelNamed():
            return _panel_named(record, progress)
        case r.ControlRecalled():
            return _control_recalled(record, progress)
        case r.ControlMoved():
            facts = (record.control, record.label, record.panel, record.was, record.now)
            return replace(progress, hands=(*progress.hands, HandMove(*facts, record.at)))
        case r.FlowSeen():
            seen = Hands(record.missed, record.first, record.mistaken, record.back, record.unknown)
            return replace(progress, flow_seen=seen)
        case r.FlowWorked():
            return replace(progress, flow_mode=record.mode, flow_passed=record.passed)
    return None


def recital_result(progress: Progress, at: float) -> MemoryProgress:
    """Return the result of the recital once it is over."""
    memory = progress.memory
    pairs = zip(progress.plan.items, progress.items, strict=True)
    unsaid = tuple(p.id for p, i in pairs if p.memory and i.open and p.id not in memory.told)
    seconds = None if memory.began is None else round(at - memory.began, 3)
    return replace(memory, done=True, seconds=seconds, left_out=unsaid)


def _list_led_on(record: r.Led, progress: Progress) -> Progress:
    item = progress.plan.items[progress.plan.index(record.item_id) or 0]
    reason = f"{item.challenge}: {record.reply}"
    changed = replace(progress, ways={**progress.ways, record.item_id: record.to})
    for name in record.dropped:
        changed = change_item(changed, name, lambda one: off_the_way(one, record.item_id, reason))
    for name in record.restored:
        changed = change_item(changed, name, on_the_way)
    return changed


def _item_recited(record: r.Recited, progress: Progress) -> Progress:
    if record.verdict is Verdict.MATCH:
        settled = replace(progress, memory=replace(progress.memory, misses=0))
        said = leave_item(settled, record.item_id, lambda item: _item_said(item, record))
        return replace(said, question=progress.question)
    missed = record.verdict is Verdict.MISMATCH
    memory = replace(
        progress.memory,
        wrong=progress.memory.wrong + (missed and not record.early),
        early=progress.memory.early + bool(record.early),
        misses=progress.memory.misses + missed,
    )
    counted = replace(progress, memory=memory)
    if not missed or record.early:
        return counted
    return change_item(counted, record.item_id, lambda i: replace(i, mismatches=i.mismatches + 1))


def _item_said(item: ItemProgress, record: r.Recited) -> ItemProgress:
    return replace(
        item,
        outcome=ItemOutcome.ANSWERED,
        accepted=1,
        reply=record.reply or record.utterance.words,
        heard=record.utterance.words,
        source=record.utterance.source,
        seconds=record.seconds,
        recited=True,
    )


def _item_prompted(record: r.Prompted, progress: Progress) -> Progress:
    memory = progress.memory
    told = (*memory.told, record.item_id)
    return replace(progress, memory=replace(memory, told=told, misses=0))


def _panel_done(record: r.PanelDone, progress: Progress) -> Progress:
    done = PanelProgress(record.panel, record.seconds, progress.flow_misses, record.told)
    return replace(
        progress,
        flow_panels=progress.flow_panels + 1,
        flow_misses=0,
        panels=(*progress.panels, done),
    )


def _panel_named(record: r.PanelNamed, progress: Progress) -> Progress:
    missed = record.verdict is Verdict.MISMATCH
    return replace(progress, flow_misses=progress.flow_misses + missed)


def _control_recalled(record: r.ControlRecalled, progress: Progress) -> Progress:
    misses = progress.flow_misses + (record.verdict is Verdict.MISMATCH)
    if record.verdict is not Verdict.MATCH and not record.told:
        return replace(progress, flow_misses=misses)
    done = ControlProgress(record.panel, record.control, misses, record.told)
    return replace(progress, flow_misses=0, controls=(*progress.controls, done))
