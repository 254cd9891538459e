"""The stages in which a flow is learnt: which one is due, and whether one was passed."""

from __future__ import annotations

from collections.abc import Iterable

from callout.core.checklist_run import flow_records as r
from callout.core.checklist_run.causes import Choice, Question
from callout.core.checklist_run.records import Asked, Decided
from callout.core.checklist_run.state import Context, FlowPast, Progress
from callout.core.conversation.pacing import STAGES, FlowMode
from callout.core.conversation.records import JournalRecord
from callout.core.sentences import flow as sentences

NAMES = {
    FlowMode.READ: "every control with its position and why",
    FlowMode.PROMPT: "the exceptions only",
    FlowMode.RECALL: "each control and its position from memory",
    FlowMode.CLOCK: "against the clock",
}
_WITHOUT_HELP = (FlowMode.SILENT, FlowMode.CLOCK)
SLACK = 1.1
"""A flow against the clock passes within this many times the best time."""


def mode_of(context: Context, progress: Progress) -> FlowMode:
    """Return how the flow of this list is guided."""
    mode = context.pacing.flow
    if mode is FlowMode.NEXT:
        mode = next_stage(past_of(context, progress))
    listed = any(panel.controls for panel in progress.plan.flow)
    if mode in (FlowMode.READ, FlowMode.RECALL) and not listed:
        return FlowMode.PROMPT  # a plan of an earlier version names no controls
    return mode


def past_of(context: Context, progress: Progress) -> FlowPast:
    """Return how far the flow of this list is learnt."""
    return context.flows.get(progress.plan.list_id, FlowPast())


def next_stage(past: FlowPast) -> FlowMode:
    """Return the first stage not yet passed; after all of them, the last."""
    return next((stage for stage in STAGES if stage not in past.passed), STAGES[-1])


def stage_passed(mode: FlowMode, progress: Progress, past: FlowPast) -> bool:
    """Say whether a completed flow passes its stage."""
    if mode is FlowMode.RECALL:
        return not any(one.misses or one.told for one in progress.controls)
    if mode is FlowMode.CLOCK:
        seconds = progress.flow_seconds
        return seconds is not None and (past.best is None or seconds <= SLACK * past.best)
    return mode in STAGES


def told_stage(mode: FlowMode, *, good: bool) -> str:
    """Return the stage reached and the one offered next; empty outside the stages."""
    if mode not in STAGES:
        return ""
    number = STAGES.index(mode) + 1
    if not good:
        return sentences.stage_again(number, len(STAGES))
    if number == len(STAGES):
        return sentences.ALL_STAGES_DONE
    following = NAMES[STAGES[number]]
    return sentences.stage_done(number, len(STAGES), following)


def past_after(journals: Iterable[Iterable[JournalRecord]]) -> FlowPast:
    """Return what the journals of one person and one list, oldest first, say about its flow."""
    stages: set[FlowMode] = set()
    best: float | None = None
    for records in journals:
        began = None
        mode: FlowMode | None = None
        for record in records:
            if isinstance(record, Asked) and record.question is Question.FLOW and began is None:
                began = record.at
            elif isinstance(record, r.FlowWorked):
                mode = record.mode
                stages = stages | {mode} if record.passed else stages - {mode}
            elif _is_end(record) and began is not None and mode in _WITHOUT_HELP:
                seconds = record.at - began
                best = seconds if best is None else min(best, seconds)
    return FlowPast(frozenset(stages), best)


def _is_end(record: JournalRecord) -> bool:
    return (
        isinstance(record, Decided)
        and record.question is Question.FLOW
        and record.choice is Choice.DONE
    )
