"""The journals in a folder, and the outcome of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from callout.core.checklist_run.records import Began
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Progress
from callout.core.checklist_run.summary import Summary, summarise_list
from callout.core.conversation.records import JournalRecord
from callout.core.drill.records import DrillBegan
from callout.core.drill.state import replay_drill
from callout.core.drill.summary import DrillSummary, summarise_drill
from callout.core.flight_run.records import SectorBegan
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorProgress
from callout.core.flight_run.summary import SectorSummary, summary_of_records
from callout.core.sentences import journals
from callout.core.sentences.commands import report_answers as sentences
from callout.errors import JournalDamaged
from callout.journal.journal_order import newest_paths
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.misfits import making_sense
from callout.journal.sector_files import DRILLS, FLIGHTS, journal_named


@dataclass(frozen=True, slots=True)
class JournalInfo:
    """One list's journal at a glance."""

    path: Path
    began: datetime
    progress: Progress
    flight: str = ""
    """The flight it belongs to."""
    lost: int = 0
    """Records that a repair could not save."""

    @property
    def title(self) -> str:
        """The list's title."""
        return self.progress.plan.title

    @property
    def ending(self) -> str:
        """How it ended, in a word; empty if it did not."""
        return self.progress.ending.value if self.progress.ending else ""

    @property
    def unfinished(self) -> bool:
        """True when the list can be resumed."""
        return self.progress.ending is None

    @property
    def summary(self) -> Summary:
        """Its summary."""
        return summarise_list(self.progress)


@dataclass(frozen=True, slots=True)
class FlightInfo:
    """One flight's journal at a glance."""

    path: Path
    began: datetime
    progress: SectorProgress
    summary: SectorSummary
    lost: int = 0
    """Records that a repair could not save."""

    @property
    def title(self) -> str:
        """The flight's title."""
        return self.progress.title

    @property
    def ending(self) -> str:
        """ "ended", or empty while it can be resumed."""
        return "ended" if self.progress.ended else ""

    def lists(self) -> Iterator[JournalInfo | JournalDamaged]:
        """Yield its lists' journals in the order in which they were called for."""
        for run in self.progress.runs:
            path = journal_named(self.path.parent.parent, run.session_id)
            if path:
                yield _listed_journal(path)


@dataclass(frozen=True, slots=True)
class DrillInfo:
    """One drill's journal at a glance."""

    path: Path
    began: datetime
    summary: DrillSummary
    lost: int = 0
    """Records that a repair could not save."""

    @property
    def title(self) -> str:
        """Name of the drill."""
        return f"Drill, {self.summary.settled} of {self.summary.picked}"

    @property
    def ending(self) -> str:
        """How it ended; a drill cannot be continued."""
        return self.summary.over.value if self.summary.over else "interrupted"


Info = JournalInfo | FlightInfo | DrillInfo


def info_of(path: Path) -> Info:
    """Return the contents of ``path``; raises JournalDamaged, also for an empty file."""
    found = read_journal(path)
    if not found.records:
        raise JournalDamaged(sentences.journal_has_no_records(path), sentences.NOTHING_RECORDED)
    with making_sense(path):
        return _journal_info(path, found)


def _journal_info(path: Path, found: JournalRead) -> Info:
    first, lost = found.records[0], sum(loss.count for loss in found.lost)
    if isinstance(first, SectorBegan):
        summary = summary_of_records(found.records)
        return FlightInfo(path, first.utc, replay_sector(found.records), summary, lost)
    if isinstance(first, DrillBegan):
        return DrillInfo(path, first.utc, summarise_drill(replay_drill(found.records)), lost)
    return JournalInfo(path, first.utc, replay_list(found.records), _flight_of(first), lost)


def newest_first(folder: Path) -> Iterator[Info | JournalDamaged]:
    """Yield the contents of each journal in ``folder``, or why it cannot be read, newest first.

    A flight's lists are left out if the flight itself is there.
    """
    places = (folder, folder / FLIGHTS, folder / DRILLS)
    paths = [path for place in places for path in place.glob("*.jsonl")]
    for path in newest_paths(paths):
        info = _read_info(path)
        flight = info.flight if isinstance(info, JournalInfo) else ""
        if not flight or not journal_named(folder / FLIGHTS, flight):
            yield info


def _read_info(path: Path) -> Info | JournalDamaged:
    try:
        return info_of(path)
    except JournalDamaged as error:
        return error


def _listed_journal(path: Path) -> JournalInfo | JournalDamaged:
    info = _read_info(path)
    if isinstance(info, FlightInfo | DrillInfo):
        return JournalDamaged(journals.not_a_list_journal(path), "")
    return info


def _flight_of(first: JournalRecord) -> str:
    return first.about.get("sector", "") if isinstance(first, Began) else ""
