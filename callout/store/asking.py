"""One query and its result."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from callout.core.sentences import collections as sentences
from callout.store.engine import PARTIALS, CollectionInvalid, duckdb_library, first_line, query_text

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

REPORT: Final = (
    "causes",
    "lists",
    "phases",
    "items",
    "months",
    "times-by-phase",
    "times-by-item",
    "times-by-month",
)
"""Queries of the standard report, in order; each is a file of ``callout/data/queries``."""
_FETCHED: Final = 2_000


@dataclass(frozen=True, slots=True)
class QueryAnswer:
    """A table: the result of a query."""

    columns: tuple[str, ...]
    rows: Iterator[tuple[object, ...]]
    """Fetched as they are taken, so that a long answer needs no memory."""


@dataclass(frozen=True, slots=True)
class QuerySection:
    """One query of the standard report with its answer."""

    name: str
    about: str
    """What it shows, in words."""
    columns: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]


def ask_collection(connection: DuckDBPyConnection, sql: str) -> QueryAnswer:
    """Run one reading statement; raise CollectionInvalid saying what is wrong with it.

    It ignores Ctrl-C and the time: foreign code is run in a process of its own
    (app/reports/querying).
    """
    duckdb = duckdb_library()
    try:
        statements = connection.extract_statements(sql)
    except duckdb.Error as error:
        raise CollectionInvalid(sentences.not_sql(first_line(error)), _HELP) from error
    except UnicodeDecodeError as error:
        raise CollectionInvalid(sentences.QUERY_FAILED_UNREADABLY, _HELP) from error
    if len(statements) != 1:
        raise CollectionInvalid(
            sentences.several_statements(len(statements)), sentences.ONE_STATEMENT_HINT
        )
    if statements[0].type != duckdb.StatementType.SELECT:  # EXPLAIN ANALYZE runs what it wraps
        kind = statements[0].type.name
        said = sentences.only_read(kind)
        raise CollectionInvalid(said, sentences.READ_ONLY_HINT)
    with _failing():
        result = connection.execute(statements[0])
    names = tuple(str(column[0]) for column in result.description or ())
    return QueryAnswer(names, _result_rows(result))


_HELP: Final = "Tables and columns: callout query --columns"
_UNREADABLY: Final = sentences.QUERY_FAILED_UNREADABLY
"""Of a message cut inside a character: some versions of Python leave it empty, others refuse it."""


@contextmanager
def _failing() -> Iterator[None]:
    duckdb = duckdb_library()
    try:
        yield
    except duckdb.OutOfMemoryException as error:
        hint = sentences.QUERY_MEMORY_HINT
        raise CollectionInvalid(sentences.QUERY_OUT_OF_MEMORY, hint) from error
    except duckdb.Error as error:
        said = sentences.query_failed(first_line(error)) if str(error) else _UNREADABLY
        raise CollectionInvalid(said, _HELP) from error
    except UnicodeDecodeError as error:  # the library cuts its own message inside a character
        raise CollectionInvalid(sentences.QUERY_FAILED_UNREADABLY, _HELP) from error
    except (OverflowError, ValueError) as error:
        raise CollectionInvalid(sentences.QUERY_VALUE_TOO_LARGE, sentences.CAST_TO_TEXT) from error


def _result_rows(result: DuckDBPyConnection) -> Iterator[tuple[object, ...]]:
    """Yield the rows; the library computes some of them only now, and can fail here too."""
    while rows := _next_rows(result):
        yield from rows


def _next_rows(result: DuckDBPyConnection) -> list[tuple[object, ...]]:
    with _failing():
        return result.fetchmany(_FETCHED)


def standard_report(
    connection: DuckDBPyConnection, names: Sequence[str] = REPORT
) -> Iterator[QuerySection]:
    """Yield the standard report; what several queries need is computed once."""
    for name in PARTIALS:
        connection.execute(f"CREATE TEMP TABLE {name}_once AS SELECT * FROM {name}")
        connection.execute(f"CREATE OR REPLACE TEMP VIEW {name} AS SELECT * FROM {name}_once")
    yield from query_sections(connection, names)


def query_sections(connection: DuckDBPyConnection, names: Sequence[str]) -> Iterator[QuerySection]:
    """Yield the answers of shipped queries."""
    for name in names:
        answer = ask_collection(connection, query_text(name))
        yield QuerySection(name, query_about(name), answer.columns, tuple(answer.rows))


def query_about(name: str) -> str:
    """Return the words at the head of a shipped query."""
    lines = query_text(name).splitlines()
    return " ".join(line[2:].strip() for line in lines if line.startswith("--"))
