"""Removes sessions from a collection so that none of their bytes remain in its files.

A database that deletes rows keeps their bytes until it needs the space. So the remaining rows are
written into a new file, which replaces the old one.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, suppress
from pathlib import Path

from callout.core.debrief.columns import TABLES
from callout.core.sentences import files as sentences
from callout.store.collection import Collection
from callout.store.engine import (
    MEMORY,
    CollectionInvalid,
    connect_database,
    open_for_reading,
    quoted_sql,
)
from callout.store.partitions import write_months

_KEPT = (*TABLES, "journals", "months")


def rebuild_database(path: Path, memory: str = MEMORY) -> None:
    """Rewrite a closed collection from its rows; the old file stays until the new one is
    complete.
    """
    fresh = path.with_name(f"{path.name}.fresh")
    _remove_database(fresh)
    before = os.umask(0o077)
    try:
        with closing(Collection(fresh, memory)) as new:
            new.fill_from(path, _KEPT)
        with suppress(OSError):
            os.chmod(fresh, path.stat().st_mode & 0o7777)
        os.replace(fresh, path)
        path.with_name(f"{path.name}.wal").unlink(missing_ok=True)
    except OSError as error:
        why = (error.strerror or str(error)).rstrip(".")
        raise CollectionInvalid(sentences.file_unwritable(path, why)) from error
    finally:
        os.umask(before)
        _remove_database(fresh)


def _remove_database(path: Path) -> None:
    path.unlink(missing_ok=True)
    path.with_name(f"{path.name}.wal").unlink(missing_ok=True)


def sessions_kept(path: Path) -> list[tuple[str, object, str, str]]:
    """Return id, beginning, person and flight of every session and flight in a collection."""
    asked = (
        "SELECT session_id, began, person, flight FROM sessions "
        "UNION ALL SELECT flight, began, person, '' FROM flights"
    )
    with closing(connect_database(str(path), MEMORY, read_only=True)) as connection:
        return [(str(a), b, str(c or ""), str(d or "")) for a, b, c, d in
                connection.execute(asked).fetchall()]  # fmt: skip


def take_out(path: Path, parquet: Path | None, sessions: Sequence[str]) -> None:
    """Remove sessions and flights from a collection, and from the Parquet files made from it."""
    with closing(Collection(path)) as collection:
        collection.forget(sessions)
        if parquet and parquet.is_dir():
            list(write_months(collection, parquet))
    rebuild_database(path)


def find_mentions(target: Path, person: str, sessions: Iterable[str]) -> Iterator[str]:
    """Yield what a collection, or a folder of its Parquet files, still contains about them."""
    ids = list(sessions)
    name = r"\s+".join(_literal(part) for part in person.split())
    with open_for_reading(target) as connection:
        ask = connection.execute
        texts = "SELECT table_name, column_name FROM information_schema.columns WHERE data_type = "
        for table, column in ask(f"{texts}'VARCHAR'").fetchall():
            if table in (*TABLES, "journals"):
                said = f"regexp_matches({column}, {quoted_sql(name)}, 'i')" if name else "false"
                own = f"list_contains(?::VARCHAR[], {column})"
                found = ask(f"SELECT count(*) FROM {table} WHERE {said} OR {own}", [ids]).fetchone()
                if found and found[0]:
                    yield f"{found[0]} rows of {table}, column {column}"


def _literal(word: str) -> str:
    return "".join(c if c.isalnum() else f"\\x{{{ord(c):x}}}" for c in word)
