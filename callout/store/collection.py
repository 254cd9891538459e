"""A database file with the rows of many journals, and which journal each row is from."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from callout.core.debrief.columns import TABLES
from callout.core.sentences import collections as sentences
from callout.core.sentences import files
from callout.store.engine import (
    MEMORY,
    CollectionInvalid,
    connect_database,
    duckdb_library,
    first_line,
    quoted_sql,
)
from callout.store.listing import Listing
from callout.store.staging import Known, Staged, create_tables, insert_staged

FORMAT: Final = "2"
"""Version of the tables; a file of another version is rebuilt."""
_KEYS: Final = {"sessions": "session_id", "items": "session_id", "replies": "session_id"}
_KEYS_OF: Final = {"list": _KEYS, "flight": {"flights": "flight"}}


def compression_of(path: Path) -> str:
    """Return how to compress the database at ``path``: as the library chooses."""
    return "auto"


class Collection:
    """The database file, open for writing; one program at a time."""

    def __init__(self, path: Path, memory: str = MEMORY) -> None:
        new = not path.exists()
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            why = (error.strerror or str(error)).rstrip(".")
            raise CollectionInvalid(files.file_unwritable(path, why)) from error
        self.path = path
        self._base = connect_database(str(path), memory)
        self._base.execute(f"SET force_compression = {quoted_sql(compression_of(path))}")
        if new:
            try:
                self._create()
            except BaseException:
                self._base.close()
                path.unlink()
                raise
        self._check()

    @staticmethod
    def remove(path: Path) -> None:
        """Delete a collection, so that it can be rebuilt; raise if it is something else."""
        with path.open("rb") as file:
            head = file.read(12)
        if head and head[8:] != b"DUCK":
            raise CollectionInvalid(sentences.not_collection(path), sentences.OTHER_NAME_HINT)
        path.unlink()
        path.with_name(f"{path.name}.wal").unlink(missing_ok=True)

    @property
    def id(self) -> str:
        """Random letters that identify this collection."""
        return str(self._about()["id"])

    @contextmanager
    def listing(self, root: str) -> Iterator[Listing]:
        """Yield a listing that compares a folder with what was collected from it."""
        listing = Listing(self._base, root)
        try:
            yield listing
        finally:
            listing.close()

    def problems(self, root: str) -> list[str]:
        """Return what is wrong with journals of a folder, one sentence each."""
        asked = "SELECT problem FROM journals WHERE root = ? AND problem <> '' ORDER BY problem"
        return [row[0] for row in self._base.execute(asked, [root]).fetchall()]

    def absorb(self, staged: Staged, held: Sequence[str] | None = None) -> None:
        """Replace the earlier rows of the journals' paths; all or none.

        A session that another journal already gave counts once. held: those of the paths that have
        earlier rows; not known: all are looked for, which takes longer the more is collected.
        """
        with self._change():
            self._drop([known.path for known in staged.journals] if held is None else held)
            once = staged.without(self._holders(staged.journals))
            insert_staged(self._base, once)
            self._mark_months(once.months())

    def _holders(self, journals: Sequence[Known]) -> dict[str, str]:
        """Return the journals that the rows of these sessions came from, by id; others are left
        out.
        """
        ids = [known.id for known in journals if known.holds == "list"]
        asked = "SELECT id, path FROM journals WHERE counts AND list_contains(?::VARCHAR[], id)"
        return dict(self._base.execute(asked, [ids]).fetchall())

    def drop(self, paths: Sequence[str]) -> None:
        """Remove journals that no longer exist; copies of theirs are examined again."""
        with self._change():
            self._drop(paths)

    def forget(self, sessions: Sequence[str]) -> None:
        """Remove sessions and flights by id, also journals that only have it as a name."""
        asked = (
            "SELECT path FROM journals WHERE list_contains($ids::VARCHAR[], id) OR "
            "list_contains($ids::VARCHAR[], parse_filename(path, true))"
        )
        self.drop([row[0] for row in self._base.execute(asked, {"ids": sessions}).fetchall()])

    def fill_from(self, path: Path, tables: Sequence[str]) -> None:
        """Copy all rows of another collection, and its id, into this empty one."""
        self._base.execute(f"ATTACH {quoted_sql(str(path))} AS old (READ_ONLY)")
        for table in tables:
            self._base.execute(f"INSERT INTO {table} BY NAME SELECT * FROM old.{table}")
        self._base.execute("UPDATE about SET value = o.value FROM old.about AS o WHERE "
                           "about.name = 'id' AND o.name = 'id'")  # fmt: skip
        last = self._base.execute("SELECT coalesce(max(version), 0) FROM months").fetchone()[0]
        self._base.execute(f"CREATE OR REPLACE SEQUENCE changes START {int(last) + 1}")
        self._base.execute("DETACH old")

    def counts(self) -> dict[str, int]:
        """Return the number of rows of each table."""
        ask = self._base.execute
        return {name: ask(f"SELECT count(*) FROM {name}").fetchone()[0] for name in TABLES}

    def months(self) -> Mapping[str, int]:
        """Return every month with rows, and a number that rises when they change."""
        asked = " UNION ".join(f"SELECT month FROM {name}" for name in TABLES)
        found = self._base.execute(
            f"SELECT month, coalesce(version, 0) FROM ({asked}) LEFT JOIN months USING (month)"
        )
        return dict(sorted(found.fetchall()))

    def schools(self, table: str, month: str) -> list[str]:
        """Return the schools with rows in a month."""
        asked = f"SELECT DISTINCT school FROM {table} WHERE month = ? ORDER BY 1"
        return [row[0] for row in self._base.execute(asked, [month]).fetchall()]

    def write_month(self, table: str, month: str, school: str, path: Path) -> int:
        """Write the rows of one table, month and school as Parquet; return their number."""
        chosen = (
            f"SELECT * FROM {table} WHERE month = {quoted_sql(month)} "
            f"AND school = {quoted_sql(school)}"
        )
        target = f"TO {quoted_sql(str(path))} (FORMAT parquet, COMPRESSION zstd)"
        return int(self._base.execute(f"COPY ({chosen}) {target}").fetchone()[0])

    def close(self) -> None:
        """Write everything into one file and close it."""
        self._base.close()

    def _create(self) -> None:
        with self._change():
            create_tables(self._base)
            for name, columns in TABLES.items():
                for column in columns:
                    about = column.about.replace("'", "''")
                    self._base.execute(f"COMMENT ON COLUMN {name}.{column.name} IS '{about}'")
            self._base.execute("CREATE TABLE months (month VARCHAR PRIMARY KEY, version BIGINT)")
            self._base.execute("CREATE SEQUENCE changes")
            self._base.execute("CREATE TABLE about (name VARCHAR, value VARCHAR)")
            facts = [["format", FORMAT], ["id", uuid.uuid4().hex]]
            self._base.executemany("INSERT INTO about VALUES (?, ?)", facts)

    def _check(self) -> None:
        try:
            found = self._about().get("format")
        except duckdb_library().Error:
            found = None
        if found != FORMAT:
            self._base.close()
            said = sentences.made_by_other_version(self.path)
            raise CollectionInvalid(said, sentences.OTHER_VERSION_HINT)

    def _about(self) -> dict[str, str]:
        return dict(self._base.execute("SELECT name, value FROM about").fetchall())

    @contextmanager
    def _change(self) -> Iterator[None]:
        self._base.begin()
        try:
            yield
            self._base.commit()
        except duckdb_library().Error as error:
            self._base.rollback()
            raise CollectionInvalid(f"the database refused it ({first_line(error)}).") from error
        except BaseException:
            self._base.rollback()
            raise

    def _drop(self, paths: Sequence[str]) -> None:
        ask = self._base.execute
        chosen = "FROM journals WHERE path IN (SELECT unnest(?::VARCHAR[]))"
        if not paths or ask(f"SELECT 1 {chosen} LIMIT 1", [paths]).fetchone() is None:
            return
        self._mark([row[0] for row in ask(f"SELECT id {chosen} AND counts", [paths]).fetchall()])
        for holds, keys in _KEYS_OF.items():
            ids = f"SELECT id {chosen} AND counts AND holds = '{holds}'"
            for table, key in keys.items():
                ask(f"DELETE FROM {table} WHERE {key} IN ({ids})", [paths])
        copies = (
            f"NOT counts AND problem <> '' AND id IN (SELECT id {chosen} AND counts AND id <> '')"
        )
        ask(f"DELETE FROM journals WHERE {copies}", [paths])
        ask(f"DELETE {chosen}", [paths])

    def _mark(self, ids: Sequence[str]) -> None:
        """Note that the months of these sessions and flights changed."""
        found = self._base.execute(
            "SELECT month FROM sessions WHERE session_id IN (SELECT unnest($ids::VARCHAR[])) UNION "
            "SELECT month FROM flights WHERE flight IN (SELECT unnest($ids::VARCHAR[]))",
            {"ids": list(ids)},
        )
        self._mark_months([row[0] for row in found.fetchall()])

    def _mark_months(self, months: Sequence[str]) -> None:
        """Note that the rows of these months changed."""
        self._base.execute(
            "INSERT OR REPLACE INTO months SELECT unnest(?::VARCHAR[]), nextval('changes')",
            [sorted(months)],
        )
