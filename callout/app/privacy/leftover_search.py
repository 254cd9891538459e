"""Finds where a name or a session is still mentioned, by reading every file of some folders."""

from __future__ import annotations

import json
import os
import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

_BLOCK = 1 << 20
_OVERLAP = 512
"""Longer than any search term, so that nothing is missed at the edge of a block."""
_AT_ONCE = 500
"""Alternatives in one pattern."""


@dataclass(frozen=True, slots=True)
class Trace:
    """One file that still mentions something."""

    path: Path
    words: str
    line: int | None = None
    """None: the file name itself."""


@dataclass(frozen=True, slots=True)
class Search:
    """What a search found."""

    files: int
    """Files read through."""
    traces: tuple[Trace, ...]
    unread: tuple[Path, ...]


def files_in(roots: Iterable[Path], leave_out: Iterable[Path] = ()) -> Iterator[Path]:
    """Yield every file in ``roots`` once, including links, which are never followed."""
    left_out = {path.resolve() for path in leave_out}
    seen: set[Path] = set()
    for root in roots:
        for folder, inner, names in os.walk(root.resolve(), followlinks=False):
            place = Path(folder)
            inner[:] = sorted(n for n in inner if (place / n).resolve() not in left_out)
            linked = [n for n in inner if (place / n).is_symlink()]
            for name in sorted([*names, *linked]):
                if place / name not in seen:
                    seen.add(place / name)
                    yield place / name


def search_leftovers(
    files: Iterable[Path], person: str, sessions: Iterable[str], roots: Iterable[Path]
) -> Search:
    """Search ``files`` for a person's whole name and for session names."""
    patterns = _search_patterns(person, sorted(sessions))
    tops = [root.resolve() for root in roots]
    traces: list[Trace] = []
    unread: list[Path] = []
    count = 0
    for path in files:
        count += 1
        own = next((path.relative_to(top) for top in tops if path.is_relative_to(top)), path)
        traces += _first_trace(path, os.fsencode(str(own)), None, patterns)
        if path.is_symlink():
            continue
        try:
            traces += _traces_inside(path, patterns)
        except OSError:
            unread.append(path)
    return Search(count, tuple(traces), tuple(unread))


def _traces_inside(path: Path, patterns: list[re.Pattern[bytes]]) -> list[Trace]:
    """Return the first mention in a file; more would not help the person."""
    with path.open("rb") as file:
        rest, lines = b"", 1
        while block := file.read(_BLOCK):
            data = rest + block
            found = _first_trace(path, data, lines, patterns)
            if found:
                return found[:1]
            kept = data[-_OVERLAP:]
            lines += data.count(b"\n") - kept.count(b"\n")
            rest = kept
    return []


def _first_trace(
    path: Path, data: bytes, first: int | None, patterns: list[re.Pattern[bytes]]
) -> list[Trace]:
    hits = [hit for pattern in patterns if (hit := pattern.search(data))]
    return [
        Trace(
            path,
            hit[0].decode("utf-8", "replace"),
            None if first is None else first + data.count(b"\n", 0, hit.start()),
        )
        for hit in hits
    ]


def _search_patterns(person: str, sessions: list[str]) -> list[re.Pattern[bytes]]:
    groups = [sessions[n : n + _AT_ONCE] for n in range(0, len(sessions), _AT_ONCE)]
    found = [re.compile(b"|".join(re.escape(s.encode()) for s in group)) for group in groups]
    return [*found, *([_name_pattern(person)] if person.strip() else [])]


def _name_pattern(person: str) -> re.Pattern[bytes]:
    """Match a whole name in any case and spacing, also in JSON's ASCII escapes."""
    name = " ".join(person.split())
    cased = {name, name.lower(), name.upper(), name.title(), name.casefold()}
    forms = {unicodedata.normalize(how, form) for form in cased for how in ("NFC", "NFD")}
    written = {form.encode() for form in forms}
    written |= {json.dumps(form)[1:-1].encode() for form in forms}
    either = b"|".join(
        rb"[\s_-]+".join(re.escape(word) for word in form.split(b" ")) for form in sorted(written)
    )
    return re.compile(rb"(?<![A-Za-z0-9])(?:" + either + rb")(?![A-Za-z0-9])", re.IGNORECASE)
