"""A flight's journal and those of its lists: records go to the file they belong to."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from callout.core.conversation.records import JournalRecord
from callout.core.flight_run.records import ListCalled, ListTakenUp, SectorRecord
from callout.core.sentences import journals as say
from callout.errors import JournalDamaged
from callout.journal.journal_order import newest_paths
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.jsonl_writer import JsonlWriter, reopen_journal

FLIGHTS = "flights"
"""Folder of the flights' own journals, inside the folder of the lists' journals."""
DRILLS = "drills"
"""Folder of the drills' journals, inside the folder of the lists' journals."""
_LONGEST: Final = 100
"""Characters in the name of a journal; the program's own have about 40."""


class SectorFiles:
    """The journal port for a flight.

    folder: where the lists' journals are stored. own: the flight's own journal, open for writing.
    """

    def __init__(self, folder: Path, own: JsonlWriter) -> None:
        self._folder = folder
        self._own = own
        self._session = ""
        self._lists: dict[str, JsonlWriter] = {}
        self.where = own.where
        self._latest = own

    @property
    def latest(self) -> Path:
        """The file that the latest records went to."""
        return self._latest.latest

    def append(self, records: Sequence[JournalRecord]) -> None:
        """Store ``records``, all or none; one call is for one journal."""
        if not records:
            return
        for writer in self._writers():
            writer.look()
        if not isinstance(records[0], SectorRecord):
            self._latest = self._open_list()
            self._latest.append(records)
            return
        self._latest = self._own
        self._own.append(records)
        for record in records:
            if isinstance(record, ListCalled | ListTakenUp):
                self.go_to(record.session_id)

    def records_of(self, session_id: str) -> tuple[JournalRecord, ...]:
        """Return the stored records of a list, and hold its journal from now on; empty for none."""
        path = journal_named(self._folder, session_id)
        if path is None:
            return ()
        self._lists[session_id], found = reopen_journal(path)
        return found.records

    def _new_path(self) -> Path:
        if is_journal_name(self._session):
            return list_path(self._folder, self._session)
        raise JournalDamaged(say.no_name_for_journal(self._session[:40]), say.START_FLIGHT_ANEW)

    def go_to(self, session_id: str) -> None:
        """Send the records of lists to the journal of this name from now on."""
        self._session = session_id

    def news(self) -> str:
        """Return what has happened to the files since the last call."""
        return " ".join(filter(None, (writer.news() for writer in self._writers())))

    def close(self) -> None:
        """Close the files; safe to call twice."""
        for writer in self._writers():
            writer.close()

    def _writers(self) -> list[JsonlWriter]:
        return [self._own, *self._lists.values()]

    def _open_list(self) -> JsonlWriter:
        """Return the list's journal; it stays open, since a list set aside may continue."""
        if self._session not in self._lists:
            kept = journal_named(self._folder, self._session)
            made = reopen_journal(kept)[0] if kept else JsonlWriter(self._new_path())
            self._lists[self._session] = made
        return self._lists[self._session]


def list_path(folder: Path, session_id: str) -> Path:
    """Return where a list's journal is."""
    return folder / f"{session_id}.jsonl"


def journal_named(folder: Path, name: object) -> Path | None:
    """Return the journal that a record names, if it is in ``folder``.

    A damaged record may name anything: something too long, in another folder, or not a text at all.
    """
    path = folder / f"{name}.jsonl"
    return path if is_journal_name(name) and os.path.exists(path) else None


def is_journal_name(name: object) -> bool:
    """Say whether this could be a journal's name, without its ending."""
    if not isinstance(name, str) or not 0 < len(name) <= _LONGEST or not name.isprintable():
        return False
    return Path(f"{name}.").name == f"{name}."


def new_sector(folder: Path, when: datetime, mark: str) -> tuple[str, JsonlWriter]:
    """Return the id of a new flight and its journal."""
    from callout.journal.jsonl_writer import create_journal

    writer = create_journal(folder / FLIGHTS, "flight", when.astimezone(UTC), mark)
    create_folder(folder)
    return Path(writer.where).stem, writer


def create_folder(folder: Path) -> None:
    """Create the folder for the lists' journals."""
    folder.mkdir(parents=True, exist_ok=True)


def flights_newest_first(folder: Path) -> Iterator[JournalRead | JournalDamaged]:
    """Yield the contents of each flight's journal, or why it cannot be read, newest first."""
    for path in newest_paths((folder / FLIGHTS).glob("*.jsonl")):
        try:
            found = read_journal(path)
        except JournalDamaged as error:
            yield error
            continue
        if found.records:
            yield found
