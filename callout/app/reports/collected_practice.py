"""What a person has practised, from a collection: rows for the lists, journals for the rest.

A collection stores how each item went. Challenges and replies are in the journals alone: the newest
journal of each list is read, and all drills.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from callout.app.reports.class_sources import MOST_AT_ONCE
from callout.app.reports.stored_facts import stored_count, stored_facts, stored_names
from callout.app.running.practice import Practice, drill_journals, practice_of
from callout.core.drill.evidence import merged_reviews, reviews_of
from callout.core.keeping.forgetting import may_be
from callout.core.model.counting import counted_noun
from callout.core.sentences import drill as sentences
from callout.errors import CalloutError

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_NEWEST = """
WITH newest AS (
    SELECT arg_max(session_id, (began, session_id)) AS session_id,
        arg_max(flight, (began, session_id)) AS flight
    FROM sessions WHERE list_contains($1::VARCHAR[], person) GROUP BY aircraft, list_id
)
SELECT path FROM journals WHERE counts
AND (id IN (SELECT session_id FROM newest) OR id IN (SELECT flight FROM newest)) ORDER BY path
"""


def collected_practice(collection: Path, folders: Sequence[Path], person: str = "") -> Practice:
    """Return what a collection says about ``person``, and the drills in ``folders``.

    collection: the file, not a folder of Parquet files, which do not name their journals. person:
    empty means whoever it was. Raises CalloutError if there are more rows than memory should hold.
    """
    from callout.store.engine import open_for_reading

    if collection.is_dir():
        raise CalloutError(sentences.names_no_journals(str(collection)), sentences.NAME_THE_FILE)
    with open_for_reading(collection) as connection:
        names = stored_names(connection)
        theirs = [name for name in names if may_be(name, person)]
        count = stored_count(connection, theirs)
        if count > MOST_AT_ONCE:
            said = sentences.too_many_rows(counted_noun(count, "item"))
            raise CalloutError(said, sentences.SAY_WHOSE)
        items = [item for name in theirs for item in stored_facts(connection, name).items]
        newest = list(_newest_journals(connection, theirs))
    there = [path for path in newest if path.is_file()]
    found = practice_of((*drill_journals(folders), *there), person)
    found.reviews = merged_reviews([*found.reviews, *reviews_of(items)])
    found.others |= {name for name in names if not (person and may_be(name, person))}
    if gone := len(newest) - len(there):
        found.problems.append(sentences.journals_gone(counted_noun(gone, "journal")))
    return found


def _newest_journals(connection: DuckDBPyConnection, names: Sequence[str]) -> Iterator[Path]:
    """Yield the newest journal of each list of each aircraft, and of the flights they belong to."""
    for row in connection.execute(_NEWEST, [list(names)]).fetchall():
        yield Path(str(row[0]))
