"""Finds lists and aircraft by name, from any folder; an error suggests what was meant."""

from __future__ import annotations

from pathlib import Path, PurePath

from callout.app.shared.checklist_files import SUFFIXES
from callout.app.shared.shipped import CHECKLISTS, RECORDINGS, shipped_folder
from callout.core.model.shapes import did_you_mean
from callout.core.sentences import files as sentences
from callout.errors import CalloutError, ChecklistInvalid

FIRST_AIRCRAFT = "sandling-two"
"""The aircraft whose list is used if several have one of that name."""
_TABLES = (".csv", ".tsv", ".txt", ".xlsx", ".ods", ".md")


def list_file(name: str) -> Path:
    """Return the file of a list: a path, ``before-start`` or ``sandling-two/before-start``.

    A missing file is looked for among the shipped lists. Raises ChecklistInvalid.
    """
    path = Path(name)
    if path.suffix.lower() in _TABLES and path.is_file():
        hint = sentences.not_a_checklist_hint(name)
        raise ChecklistInvalid(sentences.not_a_checklist(name), hint)
    if path.exists():
        return path
    known = _shipped_lists()
    wanted = _plain_name(name)
    if wanted in known:
        return known[wanted]
    named = sorted(key for key in known if PurePath(key).name == wanted)
    if named:
        first = f"{FIRST_AIRCRAFT}/{wanted}"
        return known[first if first in named else named[0]]
    names = {PurePath(key).name for key in known} | set(known)
    hint = did_you_mean(wanted, names) or "`callout list` shows the lists there are."
    raise ChecklistInvalid(sentences.no_such_list(name), hint)


def aircraft_folder(name: Path) -> Path:
    """Return the folder of one aircraft: a path, or the name of a shipped one.

    Raises ChecklistInvalid.
    """
    if name.exists():
        return name
    there = _shipped_aircraft()
    wanted = _plain_name(name.as_posix())
    if wanted in there:
        return there[wanted]
    hint = did_you_mean(wanted, there) or sentences.no_such_aircraft_hint(", ".join(sorted(there)))
    raise ChecklistInvalid(sentences.no_such_aircraft(name), hint)


def state_recording(name: Path) -> Path:
    """Return a recorded state stream: a path, or the shipped one of a list; anything else is
    returned unchanged.
    """
    shipped = shipped_folder(RECORDINGS) / "state" / f"{_plain_name(name.as_posix())}.jsonl"
    return shipped if not name.exists() and shipped.is_file() else name


def file_or_folder(name: Path) -> Path:
    """Return a path, or the shipped list or aircraft of that name; anything else is returned
    unchanged.
    """
    if name.exists():
        return name
    wanted = _plain_name(name.as_posix())
    if wanted in (aircraft := _shipped_aircraft()):
        return aircraft[wanted]
    try:
        return list_file(str(name))
    except ChecklistInvalid:
        return name


def _plain_name(name: str) -> str:
    """Return a name in the form of the shipped ones: no leading folder, no ending."""
    path = PurePath(name)
    parts = [part for part in path.parts if part not in (".", CHECKLISTS)]
    if parts and path.suffix.lower() in SUFFIXES:
        parts[-1] = path.stem
    return "/".join(parts).casefold().replace(" ", "-")


def _shipped_aircraft() -> dict[str, Path]:
    try:
        folder = shipped_folder(CHECKLISTS)
    except CalloutError:
        return {}
    return {
        entry.name: entry for entry in folder.iterdir() if entry.is_dir() and _holds_lists(entry)
    }


def _holds_lists(folder: Path) -> bool:
    return any(folder.glob("*.yaml"))


def _shipped_lists() -> dict[str, Path]:
    """Return every shipped list by ``aircraft/name``."""
    return {
        f"{aircraft}/{path.stem}": path
        for aircraft, folder in _shipped_aircraft().items()
        for path in folder.glob("*.yaml")
        if path.name != "flight.yaml"
    }
