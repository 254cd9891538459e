"""The folder of one aircraft: every list of a flight, its data, and an operator's changes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight, load_overlay, with_overlay
from callout.app.shared.found_files import read_any, yaml_files
from callout.app.shared.own_wordings import Wordings
from callout.core.flight_run.due import in_flight_order
from callout.core.model.checklist import Checklist
from callout.core.model.flight import EMPTY_FLIGHT, Flight, SetUpFact
from callout.core.sentences import session as sentences
from callout.core.understanding.fact_phrases import find_answer_to
from callout.errors import ChecklistInvalid

MOST_FOLDERS = 50
"""Maximum number of folders searched for the lists of one aircraft."""
_PARTS = re.compile(r"[,;]|\band\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class FlightFolder:
    """Everything that a flight is run from."""

    folder: Path
    lists: tuple[Checklist, ...]
    """In flight order; abnormal drills last."""
    flight: Flight

    @property
    def title(self) -> str:
        """Name of the flight."""
        return self.flight.title or self.flight.aircraft or self.folder.name

    @property
    def aircraft(self) -> str:
        """What distinguishes this aircraft's journals from others."""
        return self.flight.aircraft or self.folder.name


def load_folder(
    folder: Path, flight: str | None = None, overlays: Sequence[str] = ()
) -> FlightFolder:
    """Read every list of ``folder``; raises ChecklistInvalid at the first unusable one."""
    lists: dict[str, Checklist] = {}
    for path in yaml_files(folder, MOST_FOLDERS):
        found = read_any(path)
        if found.error:
            raise found.error
        if isinstance(found.content, Checklist):
            _add_list(lists, found.content, path)
    if not lists:
        hint = sentences.NAME_AIRCRAFT_FOLDER
        raise ChecklistInvalid(sentences.holds_no_checklists(folder), hint)
    for overlay in map(load_overlay, overlays):
        if overlay.base not in lists:
            said = sentences.overlay_without_list(str(overlay.origin), overlay.base, folder)
            raise ChecklistInvalid(said, sentences.OVERLAY_NAMES_ITS_LIST)
        lists[overlay.base] = with_overlay(lists[overlay.base], overlay)
    beside = flight or str(folder / FLIGHT_FILE)
    data = load_flight(beside) if flight or Path(beside).is_file() else EMPTY_FLIGHT
    return FlightFolder(folder, in_flight_order(tuple(lists.values())), data)


def with_own_wordings(folder: FlightFolder, own: Wordings) -> tuple[FlightFolder, list[str]]:
    """Return the lists with a person's own wordings, and a sentence about each that does not
    fit.
    """
    applied = [own.applied(checklist, folder.aircraft) for checklist in folder.lists]
    problems = [problem for _, found in applied for problem in found]
    return replace(folder, lists=tuple(checklist for checklist, _ in applied)), problems


def taken_over(flight: Flight, condition: str = "", fillers: Sequence[str] = ()) -> Flight:
    """Return the flight as a new crew finds it: a fact with a question is unknown, unless stated.

    condition: as the crew states it, such as "powered, not night"; words that are not a fact of
    this flight, or that contradict each other, change nothing.
    """
    parts = [part for part in _PARTS.split(condition) if part.strip()]
    set_up = {
        name: replace(fact, state=_stated_state(fact, parts, fillers)) if fact.question else fact
        for name, fact in flight.set_up.items()
    }
    return replace(flight, set_up=set_up)


def _stated_state(fact: SetUpFact, parts: Sequence[str], fillers: Sequence[str]) -> bool | None:
    found = {find_answer_to(part, fact, fillers) for part in parts} - {None}
    return found.pop() if len(found) == 1 else None


def _add_list(lists: dict[str, Checklist], checklist: Checklist, path: Path) -> None:
    other = lists.get(checklist.id)
    if other:
        said = sentences.id_used_twice(path, checklist.origin.line, checklist.id)
        hint = sentences.ONE_AIRCRAFT_A_FLIGHT
        raise ChecklistInvalid(f"{said}{other.origin.file}.", hint)
    lists[checklist.id] = checklist
