"""Checklist, flight and overlay files on disk."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from pathlib import Path

from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.overlay import Overlay
from callout.core.formats.overlay_merge import merge_overlay
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.rewording import check_rewording
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.model.located import Node, Table
from callout.core.sentences import authoring
from callout.core.sentences import files as sentences
from callout.errors import ChecklistInvalid

MAX_BYTES = 1_000_000
SUFFIXES = (".yaml", ".yml")
FLIGHT_FILE = "flight.yaml"


class FileKind(Enum):
    """What a file contains."""

    CHECKLIST = "checklist"
    FLIGHT = "flight"
    OVERLAY = "overlay"


def kind_of(document: Node) -> FileKind:
    """Recognise a file's kind by its keys; the default is a list."""
    keys = {key.text for key, _ in document.entries} if isinstance(document, Table) else set()
    if "overlay" in keys:
        return FileKind.OVERLAY
    if keys & {"quantities", "facts", "words"} and not keys & {"items", "sections", "method"}:
        return FileKind.FLIGHT
    return FileKind.CHECKLIST


def load_checklist(path: Path | str, overlays: Sequence[Path | str] = ()) -> Checklist:
    """Read the checklist at ``path`` and merge ``overlays`` into it, in order.

    Raises ChecklistInvalid naming file, line and remedy.
    """
    checklist = checklist_from(_read_document(path, FileKind.CHECKLIST), str(path))
    for overlay in overlays:
        checklist = with_overlay(checklist, load_overlay(overlay))
    return checklist


def with_overlay(checklist: Checklist, overlay: Overlay) -> Checklist:
    """Return ``checklist`` with ``overlay`` merged in; raise ChecklistInvalid at its line."""
    merged = merge_overlay(checklist, overlay)
    check_rewording(checklist, merged, default_tables())
    return merged


def load_overlay(path: Path | str) -> Overlay:
    """Read the operator overlay at ``path``; raise ChecklistInvalid."""
    return overlay_from(_read_document(path, FileKind.OVERLAY), str(path))


def load_flight(path: Path | str) -> Flight:
    """Read the flight data at ``path``; raise ChecklistInvalid."""
    return flight_from(_read_document(path, FileKind.FLIGHT), str(path))


def flight_beside(path: Path | str) -> Path | None:
    """Return the flight file in the folder of the list at ``path``, if there is one."""
    beside = Path(path).parent / FLIGHT_FILE
    return beside if beside.is_file() else None


def _read_document(path: Path | str, wanted: FileKind) -> Node:
    """Read ``path``; a file that is clearly of another kind is named as such."""
    document = read_document(path)
    found = kind_of(document)
    if found is not wanted and _is_plainly(document, found):
        hint = {
            FileKind.CHECKLIST: sentences.LIST_GIVEN_HINT,
            FileKind.FLIGHT: sentences.FLIGHT_GIVEN_HINT,
            FileKind.OVERLAY: sentences.OVERLAY_GIVEN_HINT,
        }[found]
        said = sentences.wrong_kind(path, found.value, wanted.value)
        raise ChecklistInvalid(said, hint)
    return document


def _is_plainly(document: Node, kind: FileKind) -> bool:
    """A list is recognised only by its own keys; the other kinds by ``kind_of``."""
    wanted = {"items", "sections", "flow"}
    return kind is not FileKind.CHECKLIST or (
        isinstance(document, Table) and any(key.text in wanted for key, _ in document.entries)
    )


def read_document(path: Path | str) -> Node:
    """Read one YAML file as located nodes; raise ChecklistInvalid."""
    return parse_yaml(read_text(Path(path)), str(path))


def read_text(path: Path) -> str:
    """Return the text of a file; raise ChecklistInvalid."""
    data = _read_bytes(path)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise ChecklistInvalid(sentences.utf16_file(path), _UTF8)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise ChecklistInvalid(sentences.line_not_utf8(path, line), _UTF8) from error


_UTF8 = sentences.SAVE_AS_UTF8_HINT


def _read_bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            hint = sentences.folder_hint(path)
            raise ChecklistInvalid(sentences.folder_not_file(path), hint)
        if path.exists() and not path.is_file():
            raise ChecklistInvalid(sentences.not_a_file(path), sentences.NOT_A_FILE_HINT)
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError as error:
        hint = sentences.NO_FILE_HINT
        raise ChecklistInvalid(authoring.no_such_file(path), hint) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is not valid"
        hint = sentences.UNREADABLE_FILE_HINT
        raise ChecklistInvalid(sentences.file_cannot_be_read(path, reason), hint) from error
    if len(data) > MAX_BYTES:
        hint = sentences.LARGE_FILE_HINT
        raise ChecklistInvalid(sentences.file_too_large(path), hint)
    return data
