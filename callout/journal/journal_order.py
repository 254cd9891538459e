"""Which of several journals is newer."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path

from callout.journal.jsonl_reader import MAX_LINE

_TO_THE_SECOND = len("20310504T120000Z")


def newest_paths(paths: Iterable[Path]) -> Iterator[Path]:
    """Yield ``paths``, newest first, by name; those of the same second by their first record."""
    ordered = sorted(paths, key=lambda path: path.name, reverse=True)
    for _, group in groupby(ordered, key=lambda path: path.name[:_TO_THE_SECOND]):
        same = list(group)
        yield from same if len(same) == 1 else sorted(same, key=_began_at, reverse=True)


def _began_at(path: Path) -> str:
    """Return the time of the first record as written, empty if it cannot be read."""
    try:
        with path.open("rb") as file:
            first = json.loads(file.readline(MAX_LINE))
    except (OSError, ValueError, RecursionError):
        return ""
    return str(first.get("utc", "")) if isinstance(first, dict) else ""
