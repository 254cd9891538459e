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
from callout.errors import ChecklistInvalid

MAX_BYTES = 1_000_000
SUFFIXES = (".yaml", ".yml")
FLIGHT_FILE = "flight.yaml"


class FileKind(Enum):
    """What a file holds."""

    CHECKLIST = "checklist"
    FLIGHT = "flight"
    OVERLAY = "overlay"


def kind_of(document: Node) -> FileKind:
    """Tell a file's kind by its keys; a list is the usual one."""
    keys = {key.text for key, _ in document.entries} if isinstance(document, Table) else set()
    if "overlay" in keys:
        return FileKind.OVERLAY
    if keys & {"quantities", "facts", "words"} and not keys & {"items", "sections", "method"}:
        return FileKind.FLIGHT
    return FileKind.CHECKLIST


def load_checklist(path: Path | str, overlays: Sequence[Path | str] = ()) -> Checklist:
    """Read the checklist at ``path`` and work in ``overlays``, in order.

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
    """Read ``path``; a file that is plainly of another kind is named as such."""
    document = read_document(path)
    found = kind_of(document)
    if found is not wanted and _is_plainly(document, found):
        hint = {
            FileKind.CHECKLIST: "Name the list directly: `callout show LIST`.",
            FileKind.FLIGHT: "Give it with `--flight`, or keep it as flight.yaml beside the list.",
            FileKind.OVERLAY: "Give it with `--overlay`, after the list it changes.",
        }[found]
        said = f"{path}, line 1: this is a {found.value} file, not a {wanted.value} file."
        raise ChecklistInvalid(said, hint)
    return document


def _is_plainly(document: Node, kind: FileKind) -> bool:
    """A list is only told by its own keys; the other kinds are told by ``kind_of``."""
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
        raise ChecklistInvalid(f"{path}, line 1: the file is UTF-16 text.", _UTF8)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise ChecklistInvalid(f"{path}, line {line}: this is not UTF-8 text.", _UTF8) from error


_UTF8 = "Save it again with the encoding UTF-8."


def _read_bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            hint = f"Name a file in it, or run `callout list {path}` to see its lists."
            raise ChecklistInvalid(f"{path} is a folder, not a file.", hint)
        if path.exists() and not path.is_file():
            raise ChecklistInvalid(f"{path} is not a file.", "Name a YAML file.")
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError as error:
        hint = "Check the name, or run `callout list` to see the lists there are."
        raise ChecklistInvalid(f"{path} does not exist.", hint) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is not valid"
        hint = "Check the name, and that you may read it."
        raise ChecklistInvalid(f"{path} cannot be read: {reason}.", hint) from error
    if len(data) > MAX_BYTES:
        hint = "A list is rarely over 20 kB. Split it, or check that this is the right file."
        raise ChecklistInvalid(f"{path} is larger than 1 MB.", hint)
    return data
