"""Tables of any values: for a terminal, as CSV, as JSON; nothing in them can be executed."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from itertools import islice
from math import isfinite
from typing import Final

from callout.core.debrief.shown import shown_text

Table = tuple[Sequence[str], Sequence[Sequence[object]]]
WIDEST: Final = 60
"""Maximum characters of a cell on a terminal."""
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""First characters that make a spreadsheet read a formula, full-width ones too (OWASP, CSV
injection; from memory).
"""


def draw_table(columns: Sequence[str], rows: Iterable[Sequence[object]], most: int = 0) -> str:
    """Return an aligned table of at most ``most`` rows (0: all), and how many more there are."""
    found = iter(rows)
    taken = list(islice(found, most)) if most else list(found)
    more = sum(1 for _ in found)
    cells = [[shown_text(str(c), WIDEST) for c in columns]]
    cells += [[_table_cell(value) for value in row] for row in taken]
    widths = [max(len(row[at]) for row in cells) for at in range(len(columns))]
    right = [
        all(_is_number(row[at]) for row in taken) and bool(taken) for at in range(len(columns))
    ]
    lines = [_table_line(row, widths, right) for row in cells]
    lines.insert(1, "  ".join("-" * width for width in widths))
    if more:
        lines.append(f"... and {more:,} more; --rows 0 shows all.")
    return "\n".join(lines)


def csv_lines(
    columns: Sequence[str], rows: Iterable[Sequence[object]], most: int = 0
) -> Iterator[str]:
    """Yield lines of CSV (RFC 4180); a text that would be a formula gets an apostrophe first."""
    yield _csv_line(columns)
    for row in islice(rows, most or None):
        yield _csv_line(row)


def json_text(tables: Mapping[str, Table]) -> str:
    """Return tables as one JSON object of lists of objects."""
    plain = {
        name: [dict(zip(columns, map(_plain_value, row), strict=True)) for row in rows]
        for name, (columns, rows) in tables.items()
    }
    return json.dumps(plain, indent=1)


def json_rows(
    columns: Sequence[str], rows: Iterable[Sequence[object]], most: int = 0
) -> Iterator[str]:
    """Yield one JSON object per row; control characters and non-ASCII letters are escaped."""
    for row in islice(rows, most or None):
        yield json.dumps(dict(zip(columns, map(_plain_value, row), strict=True)))


def _table_line(row: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> str:
    parts = zip(row, widths, right, strict=True)
    aligned = (cell.rjust(width) if end else cell.ljust(width) for cell, width, end in parts)
    return "  ".join(aligned).rstrip()


def _table_cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.4g}" if abs(value) < 1000 else f"{value:,.0f}"
    if isinstance(value, int) and not isinstance(value, bool):
        return f"{value:,}"
    return shown_text(str(value), WIDEST)


def _is_number(value: object) -> bool:
    return value is None or (isinstance(value, int | float) and not isinstance(value, bool))


def _csv_line(row: Sequence[object]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerow([_guarded_value(value) for value in row])
    return out.getvalue()


def _guarded_value(value: object) -> object:
    if value is None or isinstance(value, int | float):
        return value
    text = _visible_text(str(value))
    return f"'{text}" if text.lstrip(" ").startswith(_FORMULA) else text


def _visible_text(text: str) -> str:
    """Return ``text`` with control characters as escapes; line breaks stay, inside quotes."""
    return "\n".join(shown_text(line, len(line)) for line in text.split("\n"))


def _plain_value(value: object) -> object:
    if isinstance(value, float) and not isfinite(value):
        return None  # JSON has no such numbers
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, timedelta):
        return value.total_seconds()
    if isinstance(value, list | tuple):
        return [_plain_value(part) for part in value]
    if isinstance(value, dict):
        return {str(key): _plain_value(part) for key, part in value.items()}
    known = value is None or isinstance(value, str | int | float | bool)
    return value if known else str(value)
