"""What is stored about an installed model: where it came from, and each file's checksum."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path

RECORD_NAME = "callout-model.json"
_SCHEMA = 1

Progress = Callable[[int, int | None], None]
"""Called with bytes done and total bytes (None if unknown)."""


@dataclass(frozen=True, slots=True)
class FileMark:
    """One file as it was installed."""

    size: int
    """Bytes."""
    sha256: str


@dataclass(frozen=True, slots=True)
class ModelRecord:
    """Written beside the model's files; it informs only, and never widens what is trusted."""

    name: str
    language: str = ""
    source: str = ""
    """Zip file, folder or address it was installed from."""
    archive_sha256: str = ""
    installed_at: str = ""
    """UTC, ISO 8601."""
    files: dict[str, FileMark] = field(default_factory=dict)
    """Path relative to the model folder, with slashes -> mark."""


def write_record(folder: Path, record: ModelRecord) -> None:
    """Write the record into the model folder."""
    data = {"schema": _SCHEMA, **asdict(record)}
    text = json.dumps(data, indent=1, ensure_ascii=False, sort_keys=True)
    with (folder / RECORD_NAME).open("w", encoding="utf-8") as file:
        file.write(text + "\n")
        file.flush()
        os.fsync(file.fileno())


def read_record(folder: Path) -> ModelRecord | None:
    """Return the record of ``folder``; None if there is no readable one."""
    try:
        data = json.loads((folder / RECORD_NAME).read_text(encoding="utf-8"))
        if data.pop("schema") != _SCHEMA:
            return None
        marks = {
            str(name): FileMark(int(mark["size"]), str(mark["sha256"]))
            for name, mark in data.pop("files").items()
        }
        texts = {key: str(value) for key, value in data.items()}
        return ModelRecord(files=marks, **texts)
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None


def model_files(folder: Path) -> Iterator[Path]:
    """Yield the files of a model in a fixed order, without the record and hidden files."""
    for here, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if name != RECORD_NAME and not name.startswith("."):
                yield Path(here) / name


def total_size(folder: Path) -> int:
    """Return the bytes of all files of a model."""
    return sum(path.stat().st_size for path in model_files(folder) if path.is_file())


def mark_files(folder: Path, progress: Progress | None = None) -> dict[str, FileMark]:
    """Return size and SHA-256 of every file of a model."""
    total, done = total_size(folder), 0
    marks = {}
    for path in model_files(folder):
        mark = FileMark(path.stat().st_size, sha256_of(path))
        marks[path.relative_to(folder).as_posix()] = mark
        done += mark.size
        if progress:
            progress(done, total)
    return marks


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file as 64 hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def content_sha256(marks: dict[str, FileMark]) -> str:
    """Return one checksum for a whole model, whatever archive it came in.

    It is the SHA-256 of the lines ``CHECKSUM  ./PATH`` sorted by path bytewise, as
    ``find . -type f | LC_ALL=C sort | xargs sha256sum | sha256sum`` computes it.
    """
    ordered = sorted(marks, key=lambda name: f"./{name}".encode())
    lines = "".join(f"{marks[name].sha256}  ./{name}\n" for name in ordered)
    return hashlib.sha256(lines.encode()).hexdigest()
