"""The database library, opened so that a query can only read what it is given."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from callout.core.debrief.columns import TABLES
from callout.core.sentences import collections as sentences
from callout.errors import CalloutError

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

MEMORY: Final = "1GB"
"""Memory limit of the database; what does not fit goes to a temporary folder."""
_AMOUNT: Final = re.compile(r"(\d{1,6}(?:\.\d{1,6})?) ?([KMGT])(i?)B", re.IGNORECASE)
_SPILL: Final = 20
"""Size of the temporary folder of a query, as a multiple of its memory."""
_QUERIES: Final = files("callout") / "data" / "queries"
PARTIALS: Final = ("counts", "times", "clusters")
"""Queries whose results over parts of the data can be concatenated."""
_CLOSED: Final = {
    "python_enable_replacements": False,
    "autoinstall_known_extensions": False,
    "autoload_known_extensions": False,
    "allow_community_extensions": False,
    "allow_persistent_secrets": False,
}


class CollectionInvalid(CalloutError):
    """A collection cannot be opened or queried."""


def query_text(name: str) -> str:
    """Return a shipped query, with its comment that says what it is for."""
    return (_QUERIES / f"{name}.sql").read_text(encoding="utf-8")


def duckdb_library() -> Any:
    """Return the library; raise CalloutError with the command that installs it."""
    try:
        import duckdb
    except ImportError as error:
        hint = 'Run: pip install "callout[scale]"'
        raise CalloutError(sentences.DUCKDB_MISSING, hint) from error
    return duckdb


def bytes_of(memory: str) -> int:
    """Return "500MB" or "2GiB" in bytes; raise CollectionInvalid if it is not an amount."""
    found = _AMOUNT.fullmatch(memory)
    if not found:
        hint = sentences.SIZE_HINT
        raise CollectionInvalid(f'"{memory}" is not an amount of memory.', hint)
    power = "KMGT".index(found[2].upper()) + 1
    return int(float(found[1]) * (1024 if found[3] else 1000) ** power)


def connect_database(path: str, memory: str, threads: int = 0, read_only: bool = False) -> Any:
    """Return a connection; raise CollectionInvalid if the file is not a database or is in use."""
    duckdb = duckdb_library()
    bytes_of(memory)
    options = {**_CLOSED, "memory_limit": memory, **({"threads": threads} if threads else {})}
    try:
        return duckdb.connect(path, read_only=read_only, config=options)
    except duckdb.Error as error:
        said = str(error)
        if "lock" in said.lower():
            hint = sentences.IN_USE_HINT
            raise CollectionInvalid(sentences.in_use(path), hint) from error
        hint = sentences.UNREADABLE_HINT
        raise CollectionInvalid(sentences.collection_unreadable(path), hint) from error


@contextmanager
def open_for_reading(
    target: Path, memory: str = MEMORY, threads: int = 0, scratch: Path | None = None
) -> Iterator[DuckDBPyConnection]:
    """Open a collection, or a folder of Parquet files made from one, for queries.

    It has the tables, and the macros and views of the standard report. No other file can be read or
    written, no extension loaded, and no setting changed. scratch: folder for what does not fit in
    memory, instead of a new one.
    """
    if not target.exists():
        hint = sentences.NO_COLLECTION_HINT
        raise CollectionInvalid(sentences.no_collection(target), hint)
    with nullcontext(scratch) if scratch else _new_folder() as spill:
        if target.is_dir():
            connection = connect_database(":memory:", memory, threads)
            _view_parquet(connection, target)
        else:
            connection = connect_database(str(target), memory, threads, read_only=True)
        try:
            _have_tables(connection, target)
            connection.execute(f"SET temp_directory = {quoted_sql(str(spill))}")
            most = f"{bytes_of(memory) * _SPILL // 1000}KB"
            connection.execute(f"SET max_temp_directory_size = {quoted_sql(most)}")
            connection.execute(query_text("macros"))
            for name in PARTIALS:
                connection.execute(f"CREATE TEMP VIEW {name} AS {query_text(name)}")
            connection.execute("SET enable_external_access = false")
            connection.execute("SET lock_configuration = true")
            yield connection
        finally:
            connection.close()


@contextmanager
def _new_folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="callout-") as folder:
        yield Path(folder)


def parquet_files(folder: Path, table: str) -> list[Path]:
    """Return the files of one table, by school and month."""
    return sorted((folder / table).glob("*/*.parquet"))


def view_of(table: str, paths: Sequence[Path]) -> str:
    """Return the statement that makes a view of Parquet files."""
    listed = ", ".join(quoted_sql(str(path)) for path in paths)
    rows = f"read_parquet([{listed}], hive_partitioning = false)"
    return f"CREATE TEMP VIEW {table} AS SELECT * FROM {rows}"


def first_line(error: Exception) -> str:
    """Return the database's error message without its suggestions."""
    return str(error).splitlines()[0].rstrip(".") if str(error) else type(error).__name__


def quoted_sql(text: str) -> str:
    """Return ``text`` as an SQL string."""
    return "'" + text.replace("'", "''") + "'"


def _view_parquet(connection: Any, folder: Path) -> None:
    allowed = quoted_sql(str(folder.resolve()) + os.sep)
    connection.execute(f"SET allowed_directories = [{allowed}]")
    for table, columns in TABLES.items():
        paths = parquet_files(folder.resolve(), table)
        if paths:
            connection.execute(view_of(table, paths))
        else:
            empty = ", ".join(f"NULL::{c.kind.value} AS {c.name}" for c in columns)
            connection.execute(f"CREATE TEMP VIEW {table} AS SELECT {empty} WHERE false")


def _have_tables(connection: Any, target: Path) -> None:
    found = "SELECT table_name, column_name FROM information_schema.columns"
    known = set(connection.execute(found).fetchall())
    wanted = {(table, column.name) for table, columns in TABLES.items() for column in columns}
    if not wanted <= known:
        hint = sentences.OLD_TABLES_HINT
        raise CollectionInvalid(sentences.lacks_tables(target), hint)
