"""Who a journal belongs to and when it began, whatever its version."""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from callout.core.keeping.forgetting import Heading
from callout.journal.register import FOLDER

_MOST_HEADING = 4_000_000
"""Bytes of the longest first line that is read: a list's plan is in it."""

DERIVED = {".duckdb", ".parquet", ".wal"}
"""Endings of files made from journals. They are compressed, so a search proves nothing: those of
the tool are removed whole, and can be recreated.
"""


def is_journal(path: Path) -> bool:
    """Say whether a file is a journal rather than a register."""
    return path.suffix == ".jsonl" and path.parent.name != FOLDER


def journal_heading(path: Path) -> Heading:
    """Return the beginning of a journal; damaged ones have a name only."""
    fields = {} if path.is_symlink() else _first_line(path)
    if fields and not str(fields.get("type")).endswith("began"):
        return Heading(path.stem, None)  # somebody else's file
    raw = fields.get("about")
    about = raw if isinstance(raw, dict) else {}
    crew, flight = about.get("crew"), about.get("sector")
    begun = _parse_moment(fields.get("utc")) or _named_moment(path.stem)
    return Heading(path.stem, begun, str(crew or ""), str(flight or ""))


def _first_line(path: Path) -> dict[str, Any]:
    """Return the first record as written, of any version; empty if damaged."""
    with suppress(OSError, ValueError, RecursionError), path.open("rb") as file:
        fields = json.loads(file.readline(_MOST_HEADING))
        return fields if isinstance(fields, dict) else {}
    return {}


def _parse_moment(text: object) -> datetime | None:
    with suppress(TypeError, ValueError):
        moment = datetime.fromisoformat(str(text))
        return moment.astimezone(UTC) if moment.tzinfo else None
    return None


def _named_moment(name: str) -> datetime | None:
    with suppress(ValueError):
        return datetime.strptime(name[:16], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
    return None


def count_kinds(paths: Iterable[Path]) -> dict[str, int]:
    """Count files by kind, in words."""
    found: dict[str, int] = {}
    for path in paths:
        kind = _KINDS.get(path.suffix, "other file")
        kind = "index" if path.suffix in DERIVED else kind
        found[kind] = found.get(kind, 0) + 1
    return found


_KINDS = {".jsonl": "journal", ".wav": "recording", ".flac": "recording", ".npz": "enrolled voice",
          **dict.fromkeys((".html", ".md", ".csv", ".json"), "report")}  # fmt: skip
