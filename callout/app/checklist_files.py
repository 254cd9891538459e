"""Checklist, flight and overlay files on disk."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from callout.app.located_yaml import parse_yaml
from callout.app.tables import default_tables
from callout.core.checklist import Checklist
from callout.core.flight import Flight
from callout.core.flight_schema import flight_from
from callout.core.located import Node
from callout.core.overlay import Overlay
from callout.core.overlay_merge import merge
from callout.core.overlay_schema import overlay_from
from callout.core.rewording import check_rewording
from callout.core.schema import checklist_from
from callout.errors import ChecklistInvalid

MAX_BYTES = 1_000_000
SUFFIXES = (".yaml", ".yml")
FLIGHT_FILE = "flight.yaml"


def load_checklist(path: Path | str, overlays: Sequence[Path | str] = ()) -> Checklist:
    """Read the checklist at ``path`` and work in ``overlays``, in order.

    Raises ChecklistInvalid naming file, line and remedy.
    """
    checklist = checklist_from(read_document(path), str(path))
    for overlay in overlays:
        checklist = with_overlay(checklist, load_overlay(overlay))
    return checklist


def with_overlay(checklist: Checklist, overlay: Overlay) -> Checklist:
    """Return ``checklist`` with ``overlay`` merged in; raise ChecklistInvalid at its line."""
    merged = merge(checklist, overlay)
    check_rewording(checklist, merged, default_tables())
    return merged


def load_overlay(path: Path | str) -> Overlay:
    """Read the operator overlay at ``path``; raise ChecklistInvalid."""
    return overlay_from(read_document(path), str(path))


def load_flight(path: Path | str) -> Flight:
    """Read the flight data at ``path``; raise ChecklistInvalid."""
    return flight_from(read_document(path), str(path))


def flight_beside(path: Path | str) -> Path | None:
    """Return the flight file in the folder of the list at ``path``, if there is one."""
    beside = Path(path).parent / FLIGHT_FILE
    return beside if beside.is_file() else None


def read_document(path: Path | str) -> Node:
    """Read one YAML file as located nodes; raise ChecklistInvalid."""
    return parse_yaml(_text(Path(path)), str(path))


def _text(path: Path) -> str:
    data = _bytes(path)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise ChecklistInvalid(f"{path}, line 1: the file is UTF-16 text.", _UTF8)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise ChecklistInvalid(f"{path}, line {line}: this is not UTF-8 text.", _UTF8) from error


_UTF8 = "Save it again with the encoding UTF-8."


def _bytes(path: Path) -> bytes:
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
        hint = "Check the name and who may read it."
        raise ChecklistInvalid(f"{path} cannot be read: {reason}.", hint) from error
    if len(data) > MAX_BYTES:
        hint = "A list is rarely over 20 kB: split it, or check that it is the right file."
        raise ChecklistInvalid(f"{path} is larger than 1 MB.", hint)
    return data
