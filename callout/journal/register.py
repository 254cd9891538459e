"""The register of sign-offs: one file, one sign-off per line, append-only."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from callout.core.instructor.canonical import canonical_json
from callout.core.instructor.sign_off import SignOff, to_plain
from callout.core.instructor.sign_off_reading import SignOffInvalid, from_plain
from callout.core.sentences import journals as sentences
from callout.errors import CalloutError
from callout.journal.jsonl_writer import JsonlWriter
from callout.journal.locked_file import open_held, sync_folder

FOLDER = "sign-offs"
"""Folder of the register, inside the journal folder."""
FILE = "register.jsonl"
_WAIT_S = 5.0
"""How long to wait for another program that signs off."""
_OPEN = os.O_WRONLY | os.O_APPEND | os.O_CREAT


@dataclass(frozen=True, slots=True)
class BadLine:
    """A line that is not a sign-off."""

    number: int
    """Line of the register, from 1."""
    why: str


@dataclass(frozen=True, slots=True)
class Register:
    """The contents of a register."""

    path: Path
    records: tuple[SignOff, ...] = ()
    bad: tuple[BadLine, ...] = ()
    size: int = 0
    """Bytes up to and including the last complete line; a torn line may follow after a crash."""


def read_register(path: Path) -> Register:
    """Return the contents of the register at ``path``; a missing one is empty.

    Unreadable lines are named, not dropped; a torn last line is left out.
    """
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return Register(path)
    except OSError as error:
        why = (error.strerror or str(error)).rstrip(".")
        raise CalloutError(sentences.register_unreadable(path, why)) from error
    whole = data[: data.rfind(b"\n") + 1]
    records: list[SignOff] = []
    bad: list[BadLine] = []
    for number, line in enumerate(whole.splitlines(), 1):
        try:
            records.append(from_plain(json.loads(line)))
        except (SignOffInvalid, RecursionError) as error:
            bad.append(BadLine(number, str(error)))
        except ValueError:
            bad.append(BadLine(number, "it is not a JSON object"))
    return Register(path, tuple(records), tuple(bad), len(whole))


def append_sign_off(path: Path, make: Callable[[tuple[SignOff, ...]], SignOff]) -> SignOff:
    """Add the sign-off that ``make`` returns for the earlier ones; it is on disk on return."""
    path.parent.mkdir(parents=True, exist_ok=True)
    writer = JsonlWriter(path, _OPEN, _WAIT_S)
    try:
        found = read_register(path)
        if found.bad:
            line = found.bad[0]
            raise CalloutError(
                sentences.line_is_damaged(path, line.number, line.why),
                sentences.DAMAGED_REGISTER_HINT,
            )
        writer.cut_to(found.size)
        record = make(found.records)
        writer.append_bytes(_record_line(record))
    finally:
        writer.close()
    return record


def rewrite_register(path: Path, change: Callable[[SignOff], SignOff]) -> int:
    """Replace sign-offs by their changed versions, all or none; return how many changed.

    Unreadable lines stay unchanged.
    """
    held = open_held(path, os.O_RDWR, _WAIT_S)
    try:
        lines = path.read_bytes().splitlines(keepends=True)
        new = [_changed_line(line, change) for line in lines]
        count = sum(old != made for old, made in zip(lines, new, strict=True))
        if count:
            replace_file(path, b"".join(new))
    finally:
        os.close(held)
    return count


def _changed_line(line: bytes, change: Callable[[SignOff], SignOff]) -> bytes:
    try:
        old = from_plain(json.loads(line))
    except (ValueError, RecursionError):
        return line
    new = change(old)
    return line if new == old else _record_line(new)


def _record_line(record: SignOff) -> bytes:
    return canonical_json(to_plain(record)) + b"\n"


def replace_file(path: Path, data: bytes) -> None:
    """Replace a file with ``data``, completely or not at all; only its owner may read it."""
    beside = path.with_name(f".{path.name}.new")
    try:
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)
    sync_folder(path.parent)
