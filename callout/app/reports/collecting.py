"""Loads folders of journals into a collection; unchanged ones are skipped."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from platformdirs import user_data_path

from callout.app.reports.journal_rows import JournalRows, Stamp
from callout.app.reports.journals import UNTOUCHED
from callout.core.sentences import collections as sentences
from callout.journal.sector_files import FLIGHTS
from callout.store.collection import Collection
from callout.store.engine import MEMORY, CollectionInvalid
from callout.store.listing import Found, Listing, Part, Work
from callout.store.made import LISTED, note_made
from callout.store.processes import Share
from callout.store.staging import UNREAD, Known, Loaded, Staged, stage_journals

COLLECTION = "collection.duckdb"
"""Name of your own collection, in the tool's data folder."""
BATCH = 500
"""Journals written at once: the cost of an interruption, and the amount held in memory."""


@dataclass(slots=True)
class Collected:
    """What collecting did to the journals."""

    new: int = 0
    """Journals read for the first time."""
    replaced: int = 0
    """Journals read again because they changed."""
    unchanged: int = 0
    """Journals left as they were."""
    gone: int = 0
    """Journals whose rows were removed."""
    read_here: int = 0
    """Journals that the workers could not read, but this process could."""
    problems: list[str] = field(default_factory=list)


def default_collection() -> Path:
    """Return where your own collection is kept."""
    return user_data_path("callout", appauthor=False) / COLLECTION


def note_collection(database: Path, parquet: Path | None = None) -> None:
    """Register a collection so that `callout forget` finds it anywhere; raises CalloutError."""
    note_made(default_collection().with_name(LISTED), database, parquet)


@contextmanager
def open_for_collecting(
    path: Path, memory: str = MEMORY, anew: bool = False
) -> Iterator[Collection]:
    """Open a collection for writing; only its owner can read it, as with journals.

    again: start with an empty one. Raises CollectionInvalid if it cannot be opened.
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


def alone(work: Callable[..., Any], shares: Iterable[tuple[Any, ...]]) -> Iterator[Any]:
    """Run a function on each of several arguments, in this process."""
    return (work(*words) for words in shares)


def collect_folder(
    folder: Path,
    into: Collection,
    told: Callable[[int, int], None] = lambda done, of: None,
    school: str = "",
    share: Share = alone,
) -> Collected:
    """Update ``into`` from the journals of ``folder``.

    Rows of missing journals are removed; damaged journals are named and skipped. told: is called
    with the number of journals done and to do. school: whose people they are. share: other readers.
    """
    return _Run(folder, into, school, share, told).go()


def staged_rows(folder: str, school: str, work: Sequence[Work]) -> Staged:
    """Return the rows of some journals in a folder; also runs in a worker."""
    reader = JournalRows(Path(folder), school)
    loaded = [_read_one(reader, path, stamp) for path, stamp in work]
    try:
        return stage_journals(loaded)
    except CollectionInvalid:
        return stage_journals([_bounded(one) for one in loaded])


def _read_one(reader: JournalRows, path: str, stamp: Stamp) -> Loaded:
    place = Path(path)
    take = reader.list if place.parent == reader.folder else reader.flight
    return take(place, stamp)


def _bounded(one: Loaded) -> Loaded:
    """Return a journal, without its rows if they contain something no table can hold."""
    try:
        stage_journals([one])
    except CollectionInvalid as error:
        return Loaded(_refused(one.known, error))
    return one


def _refused(known: Known, error: CollectionInvalid) -> Known:
    said = sentences.cannot_be_kept(known.path, error.message, UNTOUCHED)
    return replace(known, counts=False, problem=said)


@dataclass(slots=True)
class _Run:
    """One run over one folder."""

    folder: Path
    into: Collection
    school: str
    share: Share
    told: Callable[[int, int], None]
    read_here: int = 0

    def go(self) -> Collected:
        root = str(self.folder)
        with self.into.listing(root) as listing:
            listing.take(found_journals(self.folder))
            gone = 0
            while lost := listing.gone():
                self.into.drop(lost)
                gone += len(lost)
            counts = listing.compare()
            self._read(listing, counts.to_read)
        kept = (counts.new, counts.replaced, counts.unchanged)
        return Collected(*kept, gone, self.read_here, self.into.problems(root))

    def _read(self, listing: Listing, count: int) -> None:
        under_way: deque[Part] = deque()

        def shares() -> Iterator[tuple[str, str, Sequence[Work]]]:
            for first in range(0, count, BATCH):
                under_way.append(listing.part(first, BATCH))
                yield str(self.folder), self.school, under_way[-1].work

        done = 0
        for staged in self.share(staged_rows, shares()):
            part = under_way.popleft()
            self._write(staged, part)
            if self.share is not alone:
                self._read_rest(staged, part)
            done += len(part.work)
            self.told(done, count)

    def _read_rest(self, staged: Staged, part: Part) -> None:
        """Read what the others could not: this process may have the right."""
        left = {known.path for known in staged.journals if known.size == UNREAD}
        again = [one for one in part.work if one[0] in left]
        if again:
            here = staged_rows(str(self.folder), self.school, again)
            self._write(here, Part(again, [path for path, _ in again]))
            self.read_here += sum(known.size != UNREAD for known in here.journals)

    def _write(self, staged: Staged, part: Part) -> None:
        """Write a batch; a journal that the database refuses does not keep the others out."""
        try:
            self.into.absorb(staged, part.held)
        except CollectionInvalid as error:
            if len(part.work) == 1:
                known = tuple(_refused(known, error) for known in staged.journals)
                self.into.absorb(Staged(known, {}), part.held)
                return
            for one in part.work:
                single = Part([one], [path for path in part.held if path == one[0]])
                self._write(staged_rows(str(self.folder), self.school, [one]), single)


def found_journals(folder: Path) -> Iterator[Found]:
    """Yield the journals in a folder, including those of flights, in no order."""
    for place in (folder, folder / FLIGHTS):
        try:
            with os.scandir(place) as entries:
                for entry in entries:
                    if entry.name.endswith(".jsonl"):
                        stem = "" if place is folder else entry.name.removesuffix(".jsonl")
                        yield (str(place / entry.name), stem, *_file_stamp(entry))
        except (FileNotFoundError, NotADirectoryError):
            continue
        except OSError as error:
            why = (error.strerror or str(error)).rstrip(".")
            raise CollectionInvalid(sentences.folder_cannot_be_listed(place, why)) from error


def _file_stamp(entry: os.DirEntry[str]) -> Stamp:
    try:
        found = entry.stat()
    except OSError:
        return 0, 0  # it is named as unreadable when it is read
    return found.st_size, found.st_mtime_ns
