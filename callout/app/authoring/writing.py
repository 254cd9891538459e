"""Writes a reading as a list file, with the flight data that its blanks need."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from callout.app.shared.checklist_files import FLIGHT_FILE, flight_beside, load_flight, read_text
from callout.core.authoring.asking import left_open
from callout.core.authoring.flight_lines import data_lines, flight_text, with_lines
from callout.core.authoring.guesses import Reading, draft_of
from callout.core.authoring.several import named_once, split_reading
from callout.core.formats.draft_yaml import yaml_of
from callout.core.formats.drafts import Draft, name_from
from callout.core.model.checklist import Method, Phase
from callout.outlet import save_text


@dataclass(frozen=True, slots=True)
class FlightChange:
    """What the flight file beside a list needs."""

    path: Path
    names: tuple[str, ...]
    text: str | None
    """The whole file; None if a person has to insert the lines."""
    lines: tuple[str, ...]


def confirmed_draft(
    reading: Reading, title: str | None = None, phase: str | None = None, method: str | None = None
) -> Draft:
    """Return the list of ``reading``; open questions are written beside its items as comments."""
    draft = named_once(draft_of(left_open(reading)))
    return replace(
        draft,
        title=title or draft.title,
        phase=Phase(phase) if phase else draft.phase,
        method=Method(method) if method else draft.method,
    )


def list_parts(reading: Reading, title: str | None = None) -> tuple[Reading, ...]:
    """Return each list of ``reading``; a ``title`` given by a person makes them one."""
    return (reading,) if title else split_reading(reading)


def each_path(folder: Path, parts: Sequence[Reading]) -> list[Path]:
    """Return the file of each list in ``folder``, named after its title."""
    used: set[str] = {Path(FLIGHT_FILE).stem}
    paths = []
    for part in parts:
        name = name_from(part.title, used)
        used.add(name)
        paths.append(folder / f"{name}.yaml")
    return paths


def list_text(draft: Draft, *, teach: bool = True) -> str:
    """Return the list file of ``draft``."""
    return yaml_of(draft, teach=teach)


def flight_change(file: Path, reading: Reading) -> FlightChange | None:
    """Return what the flight file beside the list ``file`` needs; None if it needs nothing."""
    beside = flight_beside(file)
    there: set[str] = set()
    if beside is not None:
        flight = load_flight(beside)
        there = {*flight.quantities, *flight.facts}
    lines = data_lines(reading, there)
    if not lines:
        return None
    text = (
        flight_text(reading.title or file.stem, lines)
        if beside is None
        else with_lines(read_text(beside), lines)
    )
    every = tuple(line for key in lines for line in (f"{key}:", *lines[key]))
    names = tuple(line.split(":", 1)[0].strip() for key in lines for line in lines[key])
    return FlightChange(beside or file.parent / FLIGHT_FILE, names, text, every)


def write_flight(change: FlightChange) -> bool:
    """Write the flight file; return False if there is no obvious place for the lines."""
    if change.text is None:
        return False
    save_text(change.path, change.text, folders=True)
    return True
