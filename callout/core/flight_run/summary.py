"""The outcome of a flight: one line for each list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from callout.core.conversation.records import JournalRecord
from callout.core.conversation.summary import CommonSummary
from callout.core.flight_run.due import not_completed
from callout.core.flight_run.records import SectorBegan, SectorEnded
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorContext, SectorProgress
from callout.core.flight_run.wording import run_note


@dataclass(frozen=True, slots=True)
class RunLine:
    """One run of a list."""

    title: str
    how: str
    """"completed" or another outcome, with details."""


@dataclass(frozen=True, slots=True)
class SectorSummary(CommonSummary):
    """A flight in a few lines."""

    title: str
    ended: bool
    """False: interrupted; it can be resumed."""
    runs: tuple[RunLine, ...]
    not_completed: tuple[str, ...]
    resumes: int
    """Times the flight was resumed."""


def summarise_sector(context: SectorContext, progress: SectorProgress) -> SectorSummary:
    """Return the summary of ``progress``, ended or not."""
    left = tuple(c.title for c in not_completed(context, progress))
    return _flight_summary({c.id: c.title for c in context.lists}, progress, left)


def summary_of_records(records: Sequence[JournalRecord]) -> SectorSummary:
    """Return what a flight's journal alone says about it.

    It contains the uncompleted lists only once the flight has ended.
    """
    began = next((r for r in records if isinstance(r, SectorBegan)), None)
    ended = next((r for r in reversed(records) if isinstance(r, SectorEnded)), None)
    titles = {told.id: told.title for told in began.lists} if began else {}
    return _flight_summary(titles, replay_sector(records), ended.not_completed if ended else ())


def _flight_summary(
    titles: Mapping[str, str], progress: SectorProgress, left: tuple[str, ...]
) -> SectorSummary:
    lines = []
    for run in progress.runs:
        word = run.ending.value if run.ending else "not finished"
        details = run_note(run)
        how = details if details.startswith(word) else ", ".join(filter(None, (word, details)))
        title = titles.get(run.list_id, run.list_id)
        how = "; ".join(filter(None, (how, run.recital)))
        lines.append(RunLine(f"{title}, memory items" if run.sprung else title, how))
    return SectorSummary(
        title=progress.title,
        ended=progress.ended,
        minutes=max(0.0, progress.at - progress.began) / 60,
        runs=tuple(lines),
        not_completed=left,
        resumes=progress.resumes,
        sound=progress.sound,
    )
