"""Finding the lists, overlays and flight files below a folder."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from callout.app.shared.checklist_files import SUFFIXES, FileKind, kind_of, read_document
from callout.app.shared.located_yaml import parse_yaml
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.overlay import Overlay
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.model.located import Node
from callout.core.sentences import authoring
from callout.core.sentences import files as sentences
from callout.errors import ChecklistInvalid

MOST_FILES = 20_000


@dataclass(frozen=True, slots=True)
class FoundFile:
    """One file and its kind, or why it cannot be used."""

    path: Path
    kind: FileKind
    content: Checklist | Flight | Overlay | None = None
    error: ChecklistInvalid | None = None


def read_any(path: Path) -> FoundFile:
    """Read ``path`` as whatever it is; an unusable file is returned with its error."""
    return _found(path, lambda: read_document(path))


def found_in(text: str, path: Path) -> FoundFile:
    """Return what ``text`` would be in the file ``path``, which is not read and need not exist."""
    return _found(path, lambda: parse_yaml(text, str(path)))


def _found(path: Path, read: Callable[[], Node]) -> FoundFile:
    kind = FileKind.CHECKLIST
    try:
        document = read()
        kind = kind_of(document)
        if kind is FileKind.OVERLAY:
            return FoundFile(path, kind, overlay_from(document, str(path)))
        if kind is FileKind.FLIGHT:
            return FoundFile(path, kind, flight_from(document, str(path)))
        return FoundFile(path, kind, checklist_from(document, str(path)))
    except ChecklistInvalid as error:
        return FoundFile(path, kind, error=error)


def yaml_files(folder: Path, most_folders: int = MOST_FILES) -> list[Path]:
    """Return the YAML files in and below ``folder``, sorted; hidden folders are skipped.

    Raises ChecklistInvalid if there are more than ``most_folders`` folders to search.
    """
    found = sorted(
        _walk_folder(folder, iter(range(most_folders))), key=lambda path: (path.parent, path.name)
    )
    if len(found) > MOST_FILES:
        hint = sentences.SMALLER_FOLDER_HINT
        raise ChecklistInvalid(sentences.too_many_files(folder, MOST_FILES), hint)
    return found


def _walk_folder(folder: Path, budget: Iterator[int]) -> Iterator[Path]:
    if next(budget, None) is None:
        said = sentences.too_many_folders(folder)
        raise ChecklistInvalid(said, sentences.ONE_AIRCRAFT_HINT)
    try:
        entries = sorted(folder.iterdir())
    except FileNotFoundError as error:
        raise ChecklistInvalid(authoring.no_such_file(folder), authoring.CHECK_NAME) from error
    except NotADirectoryError as error:
        hint = sentences.not_a_folder_hint(folder)
        raise ChecklistInvalid(sentences.not_a_folder(folder), hint) from error
    except OSError as error:
        raise ChecklistInvalid(sentences.file_cannot_be_read(folder, error.strerror), "") from error
    for entry in entries:
        if entry.name.startswith("."):
            continue
        if _is_folder(entry):
            yield from _walk_folder(entry, budget)
        elif entry.suffix.lower() in SUFFIXES and entry.is_file():
            yield entry


def _is_folder(entry: Path) -> bool:
    """Say whether a folder can be opened; one without permission is skipped."""
    try:
        return entry.is_dir() and not entry.is_symlink() and os.access(entry, os.R_OK | os.X_OK)
    except OSError:
        return False
