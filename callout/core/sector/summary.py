"""What came of a flight: one line a list."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.sector.due import not_completed
from callout.core.sector.state import SectorContext, SectorProgress
from callout.core.sector.wording import run_note


@dataclass(frozen=True, slots=True)
class RunLine:
    """One run of a list."""

    title: str
    how: str
    """"completed" or what else came of it, with details."""


@dataclass(frozen=True, slots=True)
class SectorSummary:
    """A flight in a few lines."""

    title: str
    ended: bool
    """False: broken off; it can be resumed."""
    minutes: float
    runs: tuple[RunLine, ...]
    not_completed: tuple[str, ...]
    resumes: int


def summarise_sector(context: SectorContext, progress: SectorProgress) -> SectorSummary:
    """Return the summary of ``progress``, ended or not."""
    lines = []
    for run in progress.runs:
        checklist = context.checklist(run.list_id)
        word = run.ending.value if run.ending else "not finished"
        details = run_note(run)
        how = details if details.startswith(word) else ", ".join(filter(None, (word, details)))
        lines.append(RunLine(checklist.title if checklist else run.list_id, how))
    return SectorSummary(
        title=progress.title,
        ended=progress.ended,
        minutes=max(0.0, progress.at - progress.began) / 60,
        runs=tuple(lines),
        not_completed=tuple(c.title for c in not_completed(context, progress)),
        resumes=progress.resumes,
    )
