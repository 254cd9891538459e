"""Lists of every collection and report ever made: a person can be removed from all of them."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final

from callout.core.sentences import collections as sentences
from callout.errors import CalloutError
from callout.outlet import save_text

LISTED: Final = "collections.txt"
"""Name of the list, in the tool's data folder: one collection per line, as JSON."""
REPORTS: Final = "reports.txt"
"""The same for reports: one path per line, as JSON."""


@dataclass(frozen=True, slots=True)
class Made:
    """A database file, and a folder of Parquet files made from it."""

    database: str
    """Absolute path."""
    parquet: str = ""
    """Absolute path; empty: none."""


def note_made(listed: Path, database: Path, parquet: Path | None = None) -> None:
    """Add a collection to the list before it is made; raises CalloutError on failure."""
    made = Made(str(database.resolve()), str(parquet.resolve()) if parquet else "")
    if made in collections_made(listed):
        return
    try:
        _add_line(listed, json.dumps(asdict(made)))
    except OSError as error:
        why = (error.strerror or str(error)).rstrip(".")
        said = sentences.list_of_collections_unwritable(listed, why)
        hint = sentences.FORGET_NEEDS_THE_LIST
        raise CalloutError(said, hint) from error


def note_report(listed: Path, report: Path) -> None:
    """Add a report to the list before it is written; raises OSError on failure."""
    if report.resolve() not in reports_made(listed):
        _add_line(listed, json.dumps(str(report.resolve())))


def reports_made(listed: Path) -> tuple[Path, ...]:
    """Return the reports on the list that still exist, oldest first."""
    found: list[Path] = []
    for line in _lines_of(listed):
        with suppress(ValueError, TypeError, OSError):
            path = Path(json.loads(line))
            if path.is_file() and path not in found:
                found.append(path)
    return tuple(found)


def strike_lost_reports(listed: Path) -> None:
    """Leave only those that exist on the list: a path may contain a name."""
    if listed.exists():
        lines = (f"{json.dumps(str(path))}\n" for path in reports_made(listed))
        save_text(listed, "".join(lines), private=True)


def _add_line(listed: Path, line: str) -> None:
    listed.parent.mkdir(parents=True, exist_ok=True)
    handle = os.open(listed, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    with os.fdopen(handle, "a", encoding="ascii") as file:
        file.write(f"{line}\n")


def _lines_of(listed: Path) -> list[str]:
    try:
        return listed.read_text(encoding="ascii").splitlines()
    except (OSError, UnicodeDecodeError):
        return []


def collections_made(listed: Path) -> tuple[Made, ...]:
    """Return the list without duplicates, oldest first; invalid lines are skipped."""
    return tuple(dict.fromkeys(_lines(listed)))


def _lines(listed: Path) -> Iterator[Made]:
    for line in _lines_of(listed):
        with suppress(ValueError, TypeError, KeyError):
            told = json.loads(line)
            yield Made(str(told["database"]), str(told["parquet"]))


def strike_lost(listed: Path) -> None:
    """Remove collections that somebody deleted: their path may contain a name.

    If the folder is missing too, as on a disk that is not connected, they stay on the list.
    """
    known = collections_made(listed)
    left = [made for made in known if not is_deleted(made)]
    if len(left) < len(known):
        save_text(listed, "".join(f"{json.dumps(asdict(made))}\n" for made in left), private=True)


def is_deleted(made: Made) -> bool:
    """Say whether a collection is missing from a folder that still exists."""
    database = Path(made.database)
    parquet = bool(made.parquet) and Path(made.parquet).exists()
    return database.parent.is_dir() and not database.exists() and not parquet
