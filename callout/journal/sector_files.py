"""A flight's journal and those of its lists: records go to the file they belong to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

from callout.core.conversation.records import JournalRecord
from callout.core.flight_run.records import ListCalled, ListTakenUp, SectorRecord
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.jsonl_writer import JsonlWriter, reopen_journal
from callout.journal.order import newest_paths

FLIGHTS = "flights"
"""Folder of the flights' own journals, inside that of the lists' journals."""
DRILLS = "drills"
"""Folder of the drills' journals, inside that of the lists' journals."""


class SectorFiles:
    """The journal port for a flight.

    folder: where the lists' journals are kept. own: the flight's own journal, open for writing.
    """

    def __init__(self, folder: Path, own: JsonlWriter) -> None:
        self._folder = folder
        self._own = own
        self._session = ""
        self._lists: dict[str, JsonlWriter] = {}
        self.where = own.where

    def append(self, records: Sequence[JournalRecord]) -> None:
        """Keep ``records``, all or none; one call is for one journal."""
        if not records:
            return
        for writer in self._writers():
            writer.look()
        if not isinstance(records[0], SectorRecord):
            self._open_list().append(records)
            return
        self._own.append(records)
        for record in records:
            if isinstance(record, ListCalled | ListTakenUp):
                self.go_to(record.session_id)

    def records_of(self, session_id: str) -> tuple[JournalRecord, ...]:
        """Return what is kept of a list, and hold its journal from now on; empty for nothing."""
        path = list_path(self._folder, session_id)
        if not path.exists():
            return ()
        self._lists[session_id], found = reopen_journal(path)
        return found.records

    def go_to(self, session_id: str) -> None:
        """Send the records of lists to the journal of this name from now on."""
        self._session = session_id

    def news(self) -> str:
        """Return what happened to the files since this was last asked."""
        return " ".join(filter(None, (writer.news() for writer in self._writers())))

    def close(self) -> None:
        """Close the files; safe to call twice."""
        for writer in self._writers():
            writer.close()

    def _writers(self) -> list[JsonlWriter]:
        return [self._own, *self._lists.values()]

    def _open_list(self) -> JsonlWriter:
        """Return the list's journal; it stays open, since a list set aside may be taken up."""
        if self._session not in self._lists:
            path = list_path(self._folder, self._session)
            made = reopen_journal(path)[0] if path.exists() else JsonlWriter(path)
            self._lists[self._session] = made
        return self._lists[self._session]


def list_path(folder: Path, session_id: str) -> Path:
    """Return where a list's journal is."""
    return folder / f"{session_id}.jsonl"


def new_sector(folder: Path, when: datetime, mark: str) -> tuple[str, JsonlWriter]:
    """Return the id of a new flight and its journal."""
    from callout.journal.jsonl_writer import create_journal

    writer = create_journal(folder / FLIGHTS, "flight", when.astimezone(UTC), mark)
    create_folder(folder)
    return Path(writer.where).stem, writer


def create_folder(folder: Path) -> None:
    """Make the folder for the lists' journals."""
    folder.mkdir(parents=True, exist_ok=True)


def flights_newest_first(folder: Path) -> Iterator[JournalRead | JournalDamaged]:
    """Yield what each flight's journal holds, or why it cannot be read, newest first."""
    for path in newest_paths((folder / FLIGHTS).glob("*.jsonl")):
        try:
            found = read_journal(path)
        except JournalDamaged as error:
            yield error
            continue
        if found.records:
            yield found
