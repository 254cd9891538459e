"""Folders of journals into a collection; what has not changed since is passed over."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import chain
from pathlib import Path

from platformdirs import user_data_path

from callout.app.reports.journals import (
    MISFITS,
    UNTOUCHED,
    journal_paths,
    lost_words,
    misfit_notice,
)
from callout.core.checklist_run.records import Began
from callout.core.debrief.columns import flight_values, rows_of
from callout.core.debrief.facts import FlightFact
from callout.core.debrief.gather import NO_FLIGHT, flight_row, gather_facts, session_rows
from callout.core.flight_run.records import SectorBegan
from callout.errors import JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.store.collection import Collection, Known, Loaded
from callout.store.engine import MEMORY, CollectionInvalid
from callout.store.made import LISTED, note_made

COLLECTION = "collection.duckdb"
"""Name of your own collection, in the tool's data folder."""
BATCH = 200
"""Journals written at once: what an interruption costs, and what is held in memory."""


@dataclass(slots=True)
class Collected:
    """What came of the journals."""

    new: int = 0
    """Journals read for the first time."""
    replaced: int = 0
    """Journals read again because they changed."""
    unchanged: int = 0
    """Journals left as they were."""
    gone: int = 0
    """Journals whose rows were taken out."""
    problems: list[str] = field(default_factory=list)


def default_collection() -> Path:
    """Return where your own collection is kept."""
    return user_data_path("callout", appauthor=False) / COLLECTION


def note_collection(database: Path, parquet: Path | None = None) -> None:
    """Have `callout forget` find a collection, wherever it lies; raises CalloutError."""
    note_made(default_collection().with_name(LISTED), database, parquet)


@contextmanager
def open_for_collecting(
    path: Path, memory: str = MEMORY, anew: bool = False
) -> Iterator[Collection]:
    """Open a collection for writing; nobody else can read it, as with journals.

    again: begin with an empty one. Raises CollectionInvalid when it cannot be opened.
    """
    before = os.umask(0o077)
    try:
        if anew and path.is_file():
            Collection.remove(path)
        collection = Collection(path, memory)
        try:
            yield collection
        finally:
            collection.close()
    finally:
        os.umask(before)


def collect_folder(
    folder: Path, into: Collection, told: Callable[[int, int], None] = lambda done, of: None
) -> Collected:
    """Bring ``into`` up to date with the journals of ``folder``.

    Journals that are gone take their rows with them; damaged ones are named and passed over. told:
    is called with journals done and to do.
    """
    return _Run(folder, into).go(told)


@dataclass(slots=True)
class _Run:
    """One folder, once."""

    folder: Path
    into: Collection
    known: dict[str, Known] = field(default_factory=dict)
    found: Collected = field(default_factory=Collected)
    flights: dict[str, tuple[FlightFact, Mapping[str, str]]] = field(default_factory=dict)
    seen: dict[str, str] = field(default_factory=dict)
    """Journals of this run by the id of their session."""

    def go(self, told: Callable[[int, int], None]) -> Collected:
        root = str(self.folder)
        now = {str(path): _file_stamp(path) for path in journal_paths(self.folder)}
        gone = [path for path in self.into.known(root) if path not in now]
        if gone:
            self.into.drop(gone)
        self.known = self.into.known(root)
        changed = [path for path, stamp in now.items() if self._changed(path, stamp)]
        flights = [self._flight(Path(path), now[path]) for path in changed if self._is_flight(path)]
        lists = [path for path in changed if not self._is_flight(path)]
        touched = {f.known.id for f in flights} | {self._old(f.known.path).id for f in flights}
        lists += [p for p, k in self.known.items() if k.flight in touched - {""} and p not in lists]
        self.found.gone = len(gone)
        self.found.unchanged = len(now) - len(lists) - len(flights)
        self._count([f.known.path for f in flights] + lists)
        self._load(chain(flights, (self._list(Path(p), now[p]) for p in lists)), told,
                   len(flights) + len(lists))  # fmt: skip
        self.found.problems = sorted(k.problem for k in self.into.known(root).values() if k.problem)
        return self.found

    def _is_flight(self, path: str) -> bool:
        return Path(path).parent != self.folder

    def _old(self, path: str) -> Known:
        return self.known.get(path) or Known(path, "", -1, -1)

    def _changed(self, path: str, stamp: tuple[int, int]) -> bool:
        old = self._old(path)
        return (old.size, old.modified) != stamp

    def _count(self, paths: Iterable[str]) -> None:
        for path in paths:
            if path in self.known:
                self.found.replaced += 1
            else:
                self.found.new += 1

    def _load(
        self, journals: Iterable[Loaded], told: Callable[[int, int], None], total: int
    ) -> None:
        batch: list[Loaded] = []
        for number, journal in enumerate(journals, start=1):
            batch.append(journal)
            if len(batch) == BATCH or number == total:
                self._write(batch)
                batch = []
                told(number, total)

    def _write(self, batch: list[Loaded]) -> None:
        """Write a batch; one journal that the database refuses does not keep the others out."""
        try:
            self.into.replace(batch)
        except CollectionInvalid as error:
            if len(batch) > 1:
                for journal in batch:
                    self._write([journal])
                return
            known = batch[0].known
            said = f"{known.path} cannot be kept in a table: {error.message} {UNTOUCHED}"
            self.into.replace([Loaded(replace(known, counts=False, problem=said))])

    def _flight(self, path: Path, stamp: tuple[int, int]) -> Loaded:
        known = Known(str(path), str(self.folder), *stamp)
        journal = _read_whole(path)
        if isinstance(journal, str):
            return Loaded(replace(known, problem=journal))
        began = journal.records[0]
        if not isinstance(began, SectorBegan):
            return Loaded(replace(known, problem=misfit_notice(path)))
        try:
            fact = flight_row(journal.records)
        except MISFITS:
            return Loaded(replace(known, id=began.sector_id, problem=misfit_notice(path)))
        self.flights[fact.flight] = (fact, began.about)
        named = replace(fact, person=fact.person or self.folder.name)
        whole = replace(
            known, holds="flight", id=fact.flight, counts=True, problem=_torn_notice(journal)
        )
        return Loaded(whole, [("flights", flight_values(named))])

    def _list(self, path: Path, stamp: tuple[int, int]) -> Loaded:
        known = Known(str(path), str(self.folder), *stamp)
        journal = _read_whole(path)
        if isinstance(journal, str):
            return Loaded(replace(known, problem=journal))
        began = journal.records[0]
        if is_demonstration(journal.records):
            return Loaded(known)
        if not isinstance(began, Began):
            return Loaded(replace(known, problem=misfit_notice(path)))
        flight = began.about.get("sector", "")
        known = replace(known, id=began.session_id, flight=flight)
        before = self.seen.setdefault(began.session_id, str(path))
        before = before if before != str(path) else self.into.holder(began.session_id)
        if before not in ("", str(path)):
            said = f"{path} holds the same session as {before}, so it counts once."
            return Loaded(replace(known, problem=said))
        fact, about = self._flight_of(flight)
        try:
            one = session_rows(journal.records, about)
        except MISFITS:
            return Loaded(replace(known, problem=misfit_notice(path)))
        facts = gather_facts([one], [fact] if fact else [])
        session = facts.sessions[0]
        session = replace(session, person=session.person or self.folder.name)
        whole = replace(known, holds="list", counts=True, problem=_torn_notice(journal))
        return Loaded(whole, list(rows_of(session, facts.items)))

    def _flight_of(self, name: str) -> tuple[FlightFact | None, Mapping[str, str]]:
        """Return the flight a list belongs to, from its journal."""
        if name and name not in self.flights:
            for path in (
                k.path for k in self.known.values() if k.holds == "flight" and k.id == name
            ):
                self._flight(Path(path), _file_stamp(Path(path)))
        return self.flights.get(name, (None, NO_FLIGHT))


def _file_stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError:
        return 0, 0  # it is named as unreadable when it is read
    return found.st_size, found.st_mtime_ns


def _read_whole(path: Path) -> JournalRead | str:
    """Return a journal with records in it, else what is wrong with it."""
    try:
        found = read_journal(path)
    except JournalDamaged as error:
        return f"{error.message} {UNTOUCHED}"
    return found if found.records else f"The journal {path} is empty."


def _torn_notice(journal: JournalRead) -> str:
    if journal.lost:
        return lost_words(journal)
    if not journal.torn:
        return ""
    return f"The last line of {journal.path} was not finished; the lines before it count."
