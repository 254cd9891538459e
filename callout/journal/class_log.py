"""The instructor's notes and agreed actions: one sealed line per entry, appended to a file."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from callout.core.instructor.agreeing import (
    ClassEntry,
    EntryInvalid,
    entry_from_plain,
    entry_to_plain,
)
from callout.core.instructor.canonical import canonical_json
from callout.core.sentences import files
from callout.core.sentences import journals as sentences
from callout.errors import CalloutError
from callout.journal.jsonl_writer import JsonlWriter
from callout.journal.locked_file import open_held
from callout.journal.register import BadLine, replace_file
from callout.journal.seals import START, Chain, seal_line

CLASS_LOG: Final = "class.jsonl"
"""In the folder of the sign-offs, inside the journal folder."""
_WAIT_S: Final = 5.0
_OPEN: Final = os.O_WRONLY | os.O_APPEND | os.O_CREAT


@dataclass(frozen=True, slots=True)
class ClassLog:
    """The contents of the file."""

    entries: tuple[ClassEntry, ...] = ()
    bad: tuple[BadLine, ...] = ()
    size: int = 0
    """Bytes up to the end of the last complete line."""
    last: str = START
    """Seal of the last line."""


def read_class_log(path: Path) -> ClassLog:
    """Return the entries; a missing file is empty, and a torn last line is left out."""
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return ClassLog()
    except OSError as error:
        why = (error.strerror or str(error)).rstrip(".")
        raise CalloutError(files.file_cannot_be_read(path, why)) from error
    whole = data[: data.rfind(b"\n") + 1]
    entries: list[ClassEntry] = []
    bad: list[BadLine] = []
    chain = Chain()
    for number, line in enumerate(whole.splitlines(keepends=True), 1):
        why = chain.take(line)
        try:
            fields = json.loads(line)
            entry = entry_from_plain(fields) if isinstance(fields, dict) else None
        except (EntryInvalid, ValueError, RecursionError) as error:
            entry, why = None, why or str(error)
        if entry is None or why:
            bad.append(BadLine(number, why or "it is not a JSON object"))
        else:
            entries.append(entry)
    return ClassLog(tuple(entries), tuple(bad), len(whole), chain.last)


def add_entry(path: Path, make: Callable[[tuple[ClassEntry, ...]], ClassEntry]) -> ClassEntry:
    """Add the entry that ``make`` returns for the earlier ones; it is on disk on return."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    writer = JsonlWriter(path, _OPEN, _WAIT_S)
    try:
        found = read_class_log(path)
        if found.bad:
            line = found.bad[0]
            said = sentences.line_is_damaged(path, line.number, line.why)
            raise CalloutError(said, sentences.DAMAGED_LOG_HINT)
        writer.cut_to(found.size)
        entry = make(found.entries)
        writer.append_bytes(seal_line(canonical_json(entry_to_plain(entry)), found.last)[0])
    finally:
        writer.close()
    return entry


def keep_entries(path: Path, kept: Callable[[ClassEntry], bool]) -> int:
    """Rewrite the file with the entries to keep, sealed again; return how many were removed."""
    if not path.exists():
        return 0
    held = open_held(path, os.O_RDWR, _WAIT_S)
    try:
        found = read_class_log(path)
        left = [entry for entry in found.entries if kept(entry)]
        gone = len(found.entries) - len(left)
        if gone:
            replace_file(path, _sealed(left))
    finally:
        os.close(held)
    return gone


def _sealed(entries: Iterable[ClassEntry]) -> bytes:
    lines, last = [], START
    for entry in entries:
        line, last = seal_line(canonical_json(entry_to_plain(entry)), last)
        lines.append(line)
    return b"".join(lines)
