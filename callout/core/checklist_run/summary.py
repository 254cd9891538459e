"""The outcome of a session, from its progress alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.flow_stages import told_stage
from callout.core.checklist_run.state import (
    ControlProgress,
    ItemOutcome,
    ItemProgress,
    MemoryProgress,
    PanelProgress,
    Progress,
)
from callout.core.conversation.summary import CommonSummary
from callout.core.model.counting import times_words
from callout.core.planning.plan import Plan, PlannedItem
from callout.core.state.proving import Standing


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """One item worth a mention."""

    item_id: str
    challenge: str
    detail: str = ""
    """A reason, a condition, what was heard, or a time, in words."""


@dataclass(frozen=True, slots=True)
class Summary(CommonSummary):
    """A session in numbers, and the items worth a mention."""

    title: str
    ending: Ending | None
    """None: interrupted; it can be resumed."""
    call: str
    total: int
    """Items that applied."""
    first_time: int
    """Items answered right at the first reply."""
    asked_again: tuple[SummaryLine, ...]
    """Answered, but not at the first reply."""
    mismatches: tuple[SummaryLine, ...]
    """Items where wrong replies were caught."""
    mismatch_count: int
    """Wrong replies caught, all items together."""
    not_set: tuple[SummaryLine, ...]
    """Right replies that the aircraft contradicted."""
    by_speech: tuple[SummaryLine, ...]
    """Right by speech alone, although the aircraft was meant to confirm it."""
    unclear: tuple[SummaryLine, ...]
    skipped: tuple[SummaryLine, ...]
    deferred: tuple[SummaryLine, ...]
    """Deferred items, and how they ended."""
    left_open: tuple[SummaryLine, ...]
    not_applicable: tuple[SummaryLine, ...]
    fast: tuple[SummaryLine, ...]
    """Items answered faster than a glance takes."""
    slow: tuple[SummaryLine, ...]
    flow: tuple[SummaryLine, ...]
    """Panels of the completed flow, with their times."""
    flow_seconds: float | None
    """From the call for the flow to its end; None if there was none."""
    flow_stage: str
    """The stage reached in learning the flow, and the one offered next."""
    lacking: tuple[str, ...]
    """Controls left out of the flow because the simulator lacks them."""
    memory: tuple[SummaryLine, ...]
    """Memory items in order, with how each was said."""
    memory_seconds: float | None
    """From the call for the list to the last memory item; None if there are none."""
    remarks: int
    """Side remarks."""
    passed_over: int
    """Challenges that a person gave out of order."""
    holds: int
    resumes: int
    failures: int
    """Times the microphone or the voice failed."""


Pairs = list[tuple[PlannedItem, ItemProgress]]


def summarise_list(progress: Progress) -> Summary:
    """Return the summary of ``progress``, finished or not."""
    pairs: Pairs = list(zip(progress.plan.items, progress.items, strict=True))
    items = [item for _, item in pairs]
    return Summary(
        title=progress.plan.title,
        ending=progress.ending,
        call=progress.call,
        minutes=max(0.0, progress.at - progress.began) / 60,
        total=sum(item.outcome is not ItemOutcome.NOT_APPLICABLE for item in items),
        first_time=sum(item.first_time for item in items),
        asked_again=_item_lines(pairs, _was_asked_again, lambda i: i.reply),
        mismatches=_item_lines(
            pairs, lambda i: i.mismatches > 0, lambda i: times_words(i.mismatches)
        ),
        mismatch_count=sum(item.mismatches for item in items),
        not_set=_item_lines(pairs, lambda i: i.not_set > 0, lambda i: times_words(i.not_set)),
        by_speech=_item_lines(pairs, _by_speech, lambda i: i.reply),
        unclear=_item_lines(pairs, lambda i: i.unclear > 0, lambda i: times_words(i.unclear)),
        skipped=_item_lines(
            pairs,
            lambda i: i.outcome is ItemOutcome.SKIPPED,
            lambda i: i.reason or "no reason given",
        ),
        deferred=_item_lines(pairs, lambda i: i.deferred, _how_it_ended),
        left_open=_item_lines(
            pairs, lambda i: i.outcome in (None, ItemOutcome.LEFT_OPEN), lambda i: ""
        ),
        not_applicable=_item_lines(
            pairs, lambda i: i.outcome is ItemOutcome.NOT_APPLICABLE, lambda i: i.reason
        ),
        fast=_item_lines(pairs, lambda i: i.fast, _reply_seconds),
        slow=_item_lines(pairs, lambda i: i.slow, _reply_seconds),
        flow=_flow_lines(progress),
        flow_stage=stage_in(progress),
        flow_seconds=progress.flow_seconds,
        lacking=lacking_in(progress.plan),
        memory=_recital_lines(progress, pairs),
        memory_seconds=progress.memory.seconds,
        remarks=sum(item.remarks for item in items),
        passed_over=progress.passed_over,
        holds=progress.holds,
        resumes=progress.resumes,
        failures=progress.failures,
        sound=progress.sound,
    )


def _item_lines(
    pairs: Pairs, chosen: Callable[[ItemProgress], bool], detail: Callable[[ItemProgress], str]
) -> tuple[SummaryLine, ...]:
    return tuple(SummaryLine(p.id, p.challenge, detail(i)) for p, i in pairs if chosen(i))


def _by_speech(item: ItemProgress) -> bool:
    return item.outcome is ItemOutcome.ANSWERED and item.standing is Standing.UNKNOWN


def _was_asked_again(item: ItemProgress) -> bool:
    return item.outcome is ItemOutcome.ANSWERED and not item.first_time


def _flow_lines(progress: Progress) -> tuple[SummaryLine, ...]:
    panels = [SummaryLine("", panel.panel, _panel_detail(panel)) for panel in progress.panels]
    missed = [one for one in progress.controls if one.misses or one.told]
    right = len(progress.controls) - len(missed)
    total = [
        SummaryLine("", "From memory", f"{right} of {len(progress.controls)} right first time")
    ]
    controls = [SummaryLine("", f"{o.panel}, {o.control}", _control_detail(o)) for o in missed]
    return (*panels, *(total if progress.controls else ()), *controls)


def _control_detail(one: ControlProgress) -> str:
    told = "had to be prompted" if one.told else ""
    wrong = f"wrong {times_words(one.misses)}" if one.misses else ""
    return ", ".join(filter(None, (wrong, told)))


def _panel_detail(panel: PanelProgress) -> str:
    told = ", had to be prompted" if panel.told else ""
    missed = f", another panel named first {times_words(panel.misses)}" if panel.misses else ""
    return f"{panel.seconds:.1f} s{missed}{told}"


def stage_in(progress: Progress) -> str:
    """Return the stage reached in learning the flow; empty if it was not a learning stage."""
    mode = progress.flow_mode
    return "" if mode is None else told_stage(mode, good=progress.flow_passed)


def lacking_in(plan: Plan) -> tuple[str, ...]:
    """Return the controls left out of the flow because the simulator lacks them."""
    return tuple(control for panel in plan.flow for control in panel.lacking)


def _recital_lines(progress: Progress, pairs: Pairs) -> tuple[SummaryLine, ...]:
    if progress.memory.began is None:
        return ()
    said = [(p, i) for p, i in pairs if p.memory and i.outcome is not ItemOutcome.NOT_APPLICABLE]
    return tuple(
        SummaryLine(p.id, p.challenge, how_recited(progress.memory, p.id, i)) for p, i in said
    )


def how_recited(memory: MemoryProgress, item_id: str, item: ItemProgress) -> str:
    """Return how an item was recited from memory, in words."""
    wrong = f", wrong {times_words(item.mismatches)}" if item.mismatches else ""
    if item.recited:
        at = "said" if item.seconds is None else f"said after {item.seconds:.1f} s"
        return f"{at}{wrong}"
    return f"had to be prompted{wrong}" if item_id in memory.told else f"not said{wrong}"


def _how_it_ended(item: ItemProgress) -> str:
    match item.outcome:
        case ItemOutcome.ANSWERED:
            return f"then answered: {item.reply}"
        case ItemOutcome.SKIPPED:
            return f"then skipped: {item.reason or 'no reason given'}"
        case _:
            return "still open"


def _reply_seconds(item: ItemProgress) -> str:
    return "" if item.seconds is None else f"{item.seconds:.1f} s"
