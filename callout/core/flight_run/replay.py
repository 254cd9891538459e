"""Turns the records of a flight into its progress: the only way it ever changes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import singledispatch

from callout.core.conversation.progress import after_common
from callout.core.conversation.records import JournalRecord
from callout.core.flight_run import records as s
from callout.core.flight_run.facts import merged_facts
from callout.core.flight_run.questions import DeskQuestion
from callout.core.flight_run.state import ListRun, SectorProgress

_NO_RUN = ListRun("", "")


def replay_sector(records: Iterable[JournalRecord]) -> SectorProgress:
    """Return the progress that ``records``, in order, lead to."""
    progress = SectorProgress()
    for record in records:
        progress = apply_sector(progress, record)
    return progress


def apply_sector(progress: SectorProgress, record: JournalRecord) -> SectorProgress:
    """Return ``progress`` after one more record."""
    common = after_common(progress, record)
    changed = _apply_change(record, progress) if common is None else common
    return replace(changed, seq=record.seq, at=record.at)


@singledispatch
def _apply_change(record: JournalRecord, progress: SectorProgress) -> SectorProgress:
    """Return the progress after a record that only advances the number."""
    return progress


@_apply_change.register
def _(record: s.SectorBegan, progress: SectorProgress) -> SectorProgress:
    return SectorProgress(
        sector_id=record.sector_id,
        mark=record.mark,
        title=record.title,
        first=record.first,
        received=record.received,
        began=record.at,
    )


@_apply_change.register
def _(record: s.ListCalled, progress: SectorProgress) -> SectorProgress:
    run = ListRun(record.list_id, record.session_id, rest_of=record.rest_of, sprung=record.sprung)
    return replace(progress, runs=(*progress.runs, run), question=None, subject="", left="")


@_apply_change.register
def _(record: s.ListSetAside, progress: SectorProgress) -> SectorProgress:
    aside = progress.with_run(record.session_id, lambda run: replace(run, aside=True))
    known = merged_facts(aside, record.facts, record.given, record.at)
    return replace(known, left=record.session_id)


@_apply_change.register
def _(record: s.ListTakenUp, progress: SectorProgress) -> SectorProgress:
    taken = progress.with_run(record.session_id, lambda run: replace(run, aside=False))
    return replace(taken, question=None, subject="", left="")


@_apply_change.register
def _(record: s.ListEnded, progress: SectorProgress) -> SectorProgress:
    ended = progress.with_run(
        record.session_id,
        lambda run: replace(
            run,
            ending=record.ending,
            ended=record.utc,
            open_items=record.open_items,
            skipped=record.skipped,
            basis=record.basis,
            settled=record.settled,
            recital=record.recital,
        ),
    )
    run = ended.run(record.session_id) or _NO_RUN
    once = {(run.list_id, item_id): record.utc for item_id in record.once}
    return replace(
        merged_facts(ended, record.facts, (), record.at),
        done={**progress.done, **once},
        produced=tuple(dict.fromkeys((*progress.produced, *record.produced))),
        quiet=record.quiet,
        pace=record.pace,
        sound=progress.sound.plus(record.sound),
    )


@_apply_change.register
def _(record: s.MomentCalled, progress: SectorProgress) -> SectorProgress:
    return replace(progress, moments=(*progress.moments, record.moment))


@_apply_change.register
def _(record: s.SetUpStated, progress: SectorProgress) -> SectorProgress:
    return merged_facts(progress, {record.fact: record.state}, (), record.at)


@_apply_change.register
def _(record: s.QuantityGiven, progress: SectorProgress) -> SectorProgress:
    return merged_facts(progress, {}, (record.given,), record.at)


@_apply_change.register
def _(record: s.DeskCommanded, progress: SectorProgress) -> SectorProgress:
    return replace(progress, pace=record.pace, quiet=record.quiet)


@_apply_change.register
def _(record: s.DeskAsked, progress: SectorProgress) -> SectorProgress:
    return replace(progress, question=record.question, subject=record.list_id)


@_apply_change.register
def _(record: s.DeskDecided, progress: SectorProgress) -> SectorProgress:
    keep = record.question is not DeskQuestion.END
    return replace(progress, question=None, subject=progress.subject if keep else "")


@_apply_change.register
def _(record: s.SectorEnded, progress: SectorProgress) -> SectorProgress:
    return replace(progress, ended=True, question=None)
