"""Journals in a folder, and what came of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from callout.core.replay import replay
from callout.core.state import Progress
from callout.core.summary import Summary, summarise
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import read_journal


@dataclass(frozen=True, slots=True)
class JournalInfo:
    """One journal at a glance."""

    path: Path
    began: datetime
    progress: Progress

    @property
    def unfinished(self) -> bool:
        """True when the list can be resumed."""
        return self.progress.ending is None

    @property
    def summary(self) -> Summary:
        """What came of it."""
        return summarise(self.progress)


def info_of(path: Path) -> JournalInfo:
    """Return what ``path`` holds; raises JournalDamaged, also for an empty file."""
    found = read_journal(path)
    if not found.records:
        raise JournalDamaged(f"The journal {path} is empty.", "Nothing had been kept yet.")
    return JournalInfo(path, found.records[0].utc, replay(found.records))


def newest_first(folder: Path) -> Iterator[JournalInfo | JournalDamaged]:
    """Yield what each journal of ``folder`` holds, or why it cannot be read, newest first."""
    for path in sorted(folder.glob("*.jsonl"), reverse=True):
        try:
            yield info_of(path)
        except JournalDamaged as error:
            yield error
