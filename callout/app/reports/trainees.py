"""Several people's journals: one folder per person, or one folder for all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from callout.app.reports.journals import read_folder
from callout.core.debrief.facts import Facts
from callout.core.sentences import files
from callout.core.sentences import reports as sentences
from callout.errors import CalloutError


@dataclass(frozen=True, slots=True)
class Trainees:
    """Facts by name, and what could not be read."""

    groups: dict[str, Facts]
    problems: tuple[str, ...]


def checked_folders(folders: Iterable[Path]) -> list[Path]:
    """Return the folders without duplicates; raises CalloutError if one is not a folder."""
    found = dict.fromkeys(folder.expanduser().resolve() for folder in folders)
    for folder in found:
        if not folder.is_dir():
            raise CalloutError(files.not_a_folder(folder), sentences.NO_JOURNALS_HINT)
    return list(found)


def read_trainees(folders: Sequence[Path]) -> Trainees:
    """Return the facts of everyone in ``folders``; raises CalloutError if there are none.

    A session counts for the crew named in it, else for the name of its folder.
    """
    groups: dict[str, list[Facts]] = defaultdict(list)
    problems: list[str] = []
    for folder in checked_folders(folders):
        found = read_folder(folder)
        problems += found.problems
        for name, facts in by_person(found.facts, folder.name).items():
            groups[name].append(facts)
    if not groups:
        raise CalloutError(
            sentences.no_sessions_in(", ".join(map(str, folders))),
            sentences.NO_TRAINEES_HINT,
        )
    return Trainees({name: _joined_facts(facts) for name, facts in groups.items()}, tuple(problems))


def by_person(facts: Facts, folder: str = "") -> dict[str, Facts]:
    """Return facts by name; sessions without one belong to the folder's."""
    names = {s.session_id: s.person or folder for s in facts.sessions}
    return {
        name: Facts(
            tuple(s for s in facts.sessions if names[s.session_id] == name),
            tuple(i for i in facts.items if names[i.session_id] == name),
            tuple(f for f in facts.flights if (f.person or folder) == name),
        )
        for name in dict.fromkeys(names.values())
    }


def _joined_facts(several: Sequence[Facts]) -> Facts:
    """Return facts from several folders; a session that was copied counts once."""
    sessions = {s.session_id: (s, facts) for facts in several for s in facts.sessions}
    items = (
        item
        for session, facts in sessions.values()
        for item in facts.items
        if item.session_id == session.session_id
    )
    flights = {f.flight: f for facts in several for f in facts.flights}
    ordered = sorted((s for s, _ in sessions.values()), key=lambda s: (s.began, s.session_id))
    return Facts(tuple(ordered), tuple(items), tuple(flights.values()))
