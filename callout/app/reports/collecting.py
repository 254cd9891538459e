"""Folders of journals into a collection; what has not changed since is passed over."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from platformdirs import user_data_path

from callout.app.reports.journal_rows import JournalRows, Stamp, twice
from callout.app.reports.journals import UNTOUCHED, journal_paths
from callout.store.collection import Collection, Known, Loaded
from callout.store.engine import MEMORY, CollectionInvalid
from callout.store.made import LISTED, note_made
from callout.store.staging import staged_parquet

COLLECTION = "collection.duckdb"
"""Name of your own collection, in the tool's data folder."""
BATCH = 500
"""Journals written at once: what an interruption costs, and what is held in memory."""


@dataclass(slots=True)
class Collected:
    """What collecting did with the journals."""

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
    folder: Path,
    into: Collection,
    told: Callable[[int, int], None] = lambda done, of: None,
    school: str = "",
    share: ShareOut | None = None,
) -> Collected:
    """Bring ``into`` up to date with the journals of ``folder``.

    Journals that are gone take their rows with them; damaged ones are named and passed over. told:
    is called with journals done and to do. school: whose people they are. share: who else reads
    them; None: this process alone.
    """
    return _Run(folder, into, school, share).go(told)


ShareOut = Callable[[Callable[..., Any], Sequence[tuple[Any, ...]]], Iterator[tuple[int, Any]]]
"""Runs a function on each of some arguments, elsewhere; yields number and result as they come."""


def read_one(reader: JournalRows, path: str, stamp: Stamp) -> Loaded:
    """Return the rows of one journal of the reader's folder."""
    place = Path(path)
    take = reader.list if place.parent == reader.folder else reader.flight
    return take(place, stamp)


def staged_rows(folder: str, school: str, work: Sequence[tuple[str, Stamp]]) -> dict[str, bytes]:
    """Return the rows of some journals of a folder as Parquet, by table; runs in a worker."""
    reader = JournalRows(Path(folder), school)
    return staged_parquet([read_one(reader, path, stamp) for path, stamp in work])


@dataclass(slots=True)
class _Run:
    """One folder, once."""

    folder: Path
    into: Collection
    school: str = ""
    share: ShareOut | None = None
    known: dict[str, Known] = field(default_factory=dict)
    found: Collected = field(default_factory=Collected)

    def go(self, told: Callable[[int, int], None]) -> Collected:
        root = str(self.folder)
        now = {str(path): _file_stamp(path) for path in journal_paths(self.folder)}
        gone = [path for path in self.into.known(root) if path not in now]
        if gone:
            self.into.drop(gone)
        self.known = self.into.known(root)
        changed = [path for path, stamp in now.items() if self._changed(path, stamp)]
        flights = [path for path in changed if self._is_flight(path)]
        chosen = dict.fromkeys(path for path in changed if not self._is_flight(path))
        touched = {Path(p).stem for p in flights} | {self._old(p).id for p in flights}
        chosen |= dict.fromkeys(p for p, k in self.known.items() if k.flight in touched - {""})
        self.found.gone = len(gone)
        self.found.unchanged = len(now) - len(chosen) - len(flights)
        self._count([*flights, *chosen])
        work = [(path, now[path]) for path in (*flights, *chosen)]
        if self.share and work:
            self._share_out(self.share, work, told)
        else:
            self._load(work, told)
        self.found.problems = sorted(k.problem for k in self.into.known(root).values() if k.problem)
        return self.found

    def _is_flight(self, path: str) -> bool:
        return os.path.dirname(path) != str(self.folder)

    def _old(self, path: str) -> Known:
        return self.known.get(path) or Known(path, "", -1, -1)

    def _changed(self, path: str, stamp: Stamp) -> bool:
        old = self._old(path)
        return (old.size, old.modified) != stamp

    def _count(self, paths: Iterable[str]) -> None:
        for path in paths:
            if path in self.known:
                self.found.replaced += 1
            else:
                self.found.new += 1

    def _load(self, work: Sequence[tuple[str, Stamp]], told: Callable[[int, int], None]) -> None:
        reader = JournalRows(self.folder, self.school)
        for start in range(0, len(work), BATCH):
            part = work[start : start + BATCH]
            batch = [read_one(reader, path, stamp) for path, stamp in part]
            self._write(self._once(batch))
            told(start + len(part), len(work))

    def _once(self, batch: list[Loaded]) -> list[Loaded]:
        """Return a batch in which sessions that another journal gave before count no more."""
        ids = [one.known.id for one in batch if one.known.holds == "list"]
        holders = self.into.holders(ids)
        return [
            one
            if holders.get(one.known.id, one.known.path) == one.known.path
            or one.known.holds != "list"
            else twice(one.known, holders[one.known.id])
            for one in batch
        ]

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

    def _share_out(
        self, share: ShareOut, work: Sequence[tuple[str, Stamp]], told: Callable[[int, int], None]
    ) -> None:
        """Have others read the journals, and take their rows as they come."""
        shares = [
            (str(self.folder), self.school, work[n : n + BATCH]) for n in range(0, len(work), BATCH)
        ]
        done = 0
        with tempfile.TemporaryDirectory(prefix="callout-") as where:
            for number, staged in share(staged_rows, shares):
                for name, content in staged.items():
                    (Path(where) / f"{name}.parquet").write_bytes(content)
                part = shares[number][2]
                try:
                    self.into.absorb(Path(where))
                except CollectionInvalid:  # one journal in it: they are read here, one by one
                    self._load(part, lambda _done, _of: None)
                done += len(part)
                told(done, len(work))


def _file_stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError:
        return 0, 0  # it is named as unreadable when it is read
    return found.st_size, found.st_mtime_ns
