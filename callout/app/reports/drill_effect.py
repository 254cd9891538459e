"""What a person's drills did, for the trends of that person."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from callout.core.debrief.trends import Trends
from callout.journal.sector_files import DRILLS


def with_drills(trends: Trends, folder: Path) -> Trends:
    """Return the trends with what the drills in ``folder`` show; of one person only."""
    if len(trends.persons) != 1 or not any((folder / DRILLS).glob("*.jsonl")):
        return trends
    from callout.app.reports.trending import NOBODY
    from callout.app.running.practice import read_practice
    from callout.core.drill.shown_progress import drills_so_far

    [only] = trends.persons
    practice = read_practice([folder], "" if only.person == NOBODY else only.person)
    lines = drills_so_far(practice.drills, practice.lots, practice.reviews)
    return replace(trends, drills=tuple(lines))
