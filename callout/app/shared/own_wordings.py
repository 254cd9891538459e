"""A person's own wordings on disk: one overlay file per list, and a log of what was accepted or
revoked.

``JOURNALS/wordings/PERSON/AIRCRAFT/LIST.yaml``; the log is beside the aircraft's folders.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from enum import Enum
from pathlib import Path
from typing import Any

from callout import outlet
from callout.app.shared.checklist_files import SUFFIXES, load_overlay, read_text, with_overlay
from callout.core.formats.overlay import Accept
from callout.core.keeping.forgetting import name_slug
from callout.core.model.checklist import Checklist, Origin
from callout.core.sentences import files as sentences
from callout.errors import CalloutError, ChecklistInvalid

FOLDER = "wordings"
"""Inside the journal folder."""
LOG = "log.jsonl"
NOBODY = "crew"
"""Used for a person who has set no name."""
_HEAD = "# Wordings that are accepted from now on. `callout wordings` lists and revokes them.\n"


class Did(Enum):
    """What was done about a wording."""

    ACCEPTED = "accepted"
    REVOKED = "revoked"
    DECLINED = "declined"
    """It was offered and declined."""


@dataclass(frozen=True, slots=True)
class WordingPlace:
    """Identifies the item that a wording belongs to."""

    aircraft: str
    list_id: str
    item_id: str
    words: str


@dataclass(frozen=True, slots=True)
class OwnWording:
    """One wording in force."""

    place: WordingPlace
    by: str
    date: str
    file: Path
    line: int
    """Line of the overlay file, from 1."""


@dataclass(frozen=True, slots=True)
class Wordings:
    """The wordings of one person."""

    folder: Path
    person: str

    def in_force(self) -> tuple[list[OwnWording], list[str]]:
        """Return what is accepted, and one sentence about each unusable file."""
        found: list[OwnWording] = []
        problems: list[str] = []
        for path in sorted(self.folder.glob("*/*")):
            if path.suffix in SUFFIXES:
                try:
                    found += _read_wordings(path)
                except ChecklistInvalid as error:
                    problems.append(sentences.wordings_not_accepted(error.message))
        return found, problems

    def applied(self, checklist: Checklist, aircraft: str) -> tuple[Checklist, list[str]]:
        """Return a list with its accepted wordings; those that no longer fit are named, not
        applied.
        """
        path = self._file(aircraft, checklist.id)
        problems: list[str] = []
        try:
            overlay = load_overlay(path) if path.is_file() else None
        except ChecklistInvalid as error:
            return checklist, [sentences.wordings_not_accepted(error.message)]
        for change in overlay.changes if overlay else ():
            assert overlay is not None
            try:
                if not isinstance(change, Accept):
                    raise _not_a_wording(change.origin)
                one = replace(overlay, changes=(change,), notes=())
                checklist = with_overlay(checklist, one)
            except ChecklistInvalid as error:
                problems.append(sentences.wording_left_out(error.message))
        return replace(checklist, overlays=tuple(dict.fromkeys(checklist.overlays))), problems

    def accept(
        self, place: WordingPlace, when: datetime, *, confirmed: bool, session: str = ""
    ) -> Path:
        """Accept a wording: the log first, then the overlay. Raises CalloutError."""
        path = self._file(place.aircraft, place.list_id)
        self.note(Did.ACCEPTED, place, when, session)
        text = read_text(path) if path.is_file() else _file_head(place)
        fields = [f"accept: {place.item_id}", f"also: {_quoted_yaml(place.words)}"]
        fields += [f"by: {_quoted_yaml(self.person)}"] if self.person else []
        fields += [f"date: {when.date().isoformat()}", *(["confirmed: yes"] if confirmed else [])]
        line = f"  - {{{', '.join(fields)}}}\n"
        whole = text if text.endswith("\n") else text + "\n"
        outlet.save_text(path, whole + line, "The wording", as_it_is=True, folders=True)
        return path

    def revoke(self, one: OwnWording, when: datetime) -> None:
        """Revoke a wording: the log first, then its line. Raises CalloutError."""
        lines = read_text(one.file).splitlines(keepends=True)
        if one.place.words not in _unquoted_yaml(lines[one.line - 1 : one.line]):
            fault = sentences.wordings_line_not_ours(one.file, one.line)
            raise CalloutError(fault, sentences.UNDO_IT_YOURSELF)
        self.note(Did.REVOKED, one.place, when)
        kept = [*lines[: one.line - 1], *lines[one.line :]]
        if any(line.lstrip().startswith("- ") for line in kept):
            outlet.save_text(one.file, "".join(kept), "The wordings", as_it_is=True)
        else:
            one.file.unlink()

    def note(self, did: Did, place: WordingPlace, when: datetime, session: str = "") -> None:
        """Record what was done, when and by whom."""
        fields = {
            "at": when.isoformat(timespec="seconds"),
            "who": self.person,
            "did": did.value,
            "aircraft": place.aircraft,
            "list": place.list_id,
            "item": place.item_id,
            "reply": place.words,
            **({"session": session} if session else {}),
        }
        path = self.folder / LOG
        before = read_text(path) if path.is_file() else ""
        line = json.dumps(fields, ensure_ascii=False) + "\n"
        outlet.save_text(path, before + line, "The log", as_it_is=True, folders=True)

    def log(self) -> Iterator[dict[str, Any]]:
        """Yield what was done, oldest first; unreadable lines are skipped."""
        path = self.folder / LOG
        for line in read_text(path).splitlines() if path.is_file() else ():
            try:
                fields = json.loads(line)
            except (ValueError, RecursionError):
                continue
            if isinstance(fields, dict):
                yield fields

    def once(self, did: Did) -> set[WordingPlace]:
        """Return everything that this was ever done to."""
        return {_wording_place(fields) for fields in self.log() if fields.get("did") == did.value}

    def _file(self, aircraft: str, list_id: str) -> Path:
        return self.folder / (name_slug(aircraft) or "aircraft") / f"{list_id}.yaml"


def wordings_of(journals: Path, person: str) -> Wordings:
    """Return the wordings of a person; without a name, those of people without a name."""
    return Wordings(journals / FOLDER / (name_slug(person) or NOBODY), person)


def _read_wordings(path: Path) -> Iterator[OwnWording]:
    overlay = load_overlay(path)
    for change in overlay.changes:
        if isinstance(change, Accept):
            aircraft = overlay.notes[0] if overlay.notes else path.parent.name
            place = WordingPlace(aircraft, overlay.base, change.item_id, change.also)
            yield OwnWording(place, change.by, change.date, path, change.origin.line)


def _not_a_wording(origin: Origin) -> ChecklistInvalid:
    where = f"{origin.file}, line {origin.line}"
    return ChecklistInvalid(sentences.only_accept_belongs_here(where))


def _wording_place(fields: dict[str, Any]) -> WordingPlace:
    names = ("aircraft", "list", "item", "reply")
    return WordingPlace(*(str(fields.get(name, "")) for name in names))


def _file_head(place: WordingPlace) -> str:
    whose = f"title: Own wordings\nnote: {_quoted_yaml(place.aircraft)}\n"
    return f"{_HEAD}callout: 1\noverlay: {place.list_id}\n{whose}changes:\n"


def _quoted_yaml(text: str) -> str:
    """Return a text as YAML that reads back unchanged."""
    return json.dumps(text, ensure_ascii=False)


def _unquoted_yaml(lines: list[str]) -> str:
    return "".join(lines).replace('\\"', '"').replace("\\\\", "\\")
