"""A folder of journals as rows; unreadable ones are named and left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from callout.core.checklist_run.records import Began
from callout.core.debrief.facts import Facts, FlightFact, ItemFact, SessionFact
from callout.core.debrief.gather import NO_FLIGHT, flight_row, gather_facts, session_rows
from callout.core.flight_run.records import SectorBegan
from callout.core.model.counting import counted_noun
from callout.core.sentences import journals as sentences
from callout.errors import JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.misfits import MISFITS as MISFITS
from callout.journal.sector_files import FLIGHTS

UNTOUCHED = sentences.NOT_COUNTED

SessionRows = tuple[SessionFact, tuple[ItemFact, ...]]


@dataclass(frozen=True, slots=True)
class JournalFacts:
    """Rows of the journals that can be read."""

    facts: Facts
    paths: Mapping[str, Path]
    """Path of the journal of each session and flight, by id."""
    problems: tuple[str, ...] = ()
    """One sentence about each journal that cannot be read, or not to its end."""


def read_folder(folder: Path) -> JournalFacts:
    """Return the rows of all journals in ``folder``, including flights, excluding demonstrations.

    Raises JournalDamaged if the folder itself cannot be listed.
    """
    return read_files(journal_paths(folder))


def journal_paths(folder: Path) -> list[Path]:
    """Return all journals in ``folder``, including those of flights, by name."""
    return [*sorted(folder.glob("*.jsonl")), *sorted((folder / FLIGHTS).glob("*.jsonl"))]


def read_files(paths: Iterable[Path], named: Iterable[Path] = ()) -> JournalFacts:
    """Return the rows of the journals at ``paths``; a duplicate session counts once.

    named: those that were asked for; a demonstration counts only if it is one of them.
    """
    problems: list[str] = []
    wanted = set(named)
    readable = _readable_journals(paths, problems)
    found = [j for j in readable if j.path in wanted or not is_demonstration(j.records)]
    flights, places = _flight_facts(found, problems)
    lists: dict[str, SessionRows] = {}
    for journal in found:
        if isinstance(journal.records[0], Began):
            _add_journal(lists, places, journal, flights, problems)
    facts = gather_facts(lists.values(), (row for row, _ in flights.values()))
    return JournalFacts(facts, places, tuple(problems))


def _readable_journals(paths: Iterable[Path], problems: list[str]) -> Iterator[JournalRead]:
    for path in paths:
        try:
            found = read_journal(path)
        except JournalDamaged as error:
            problems.append(f"{error.message} {UNTOUCHED}")
            continue
        if not found.records:
            problems.append(f"The journal {path} holds no complete record. {UNTOUCHED}")
            continue
        if found.torn:
            problems.append(sentences.last_line_unfinished(path))
        if found.lost:
            problems.append(lost_words(found))
        yield found


def lost_words(found: JournalRead) -> str:
    """Return the sentence on records that a repair could not keep."""
    gone = counted_noun(sum(loss.count for loss in found.lost), "record")
    return sentences.lost_but_others_count(gone, found.path)


Flights = dict[str, tuple[FlightFact, Mapping[str, str]]]


def _flight_facts(
    found: Iterable[JournalRead], problems: list[str]
) -> tuple[Flights, dict[str, Path]]:
    flights: Flights = {}
    places: dict[str, Path] = {}
    for journal in found:
        began = journal.records[0]
        if not isinstance(began, SectorBegan):
            continue
        try:
            flights[began.sector_id] = (flight_row(journal.records), began.about)
        except MISFITS:
            problems.append(misfit_notice(journal.path))
        else:
            places[began.sector_id] = journal.path
    return flights, places


def _add_journal(
    lists: dict[str, SessionRows],
    places: dict[str, Path],
    journal: JournalRead,
    flights: Flights,
    problems: list[str],
) -> None:
    began = journal.records[0]
    assert isinstance(began, Began)
    if began.session_id in lists:
        before = places[began.session_id]
        problems.append(sentences.same_session_twice(journal.path, before))
        return
    _, about = flights.get(began.about.get("sector", ""), (None, NO_FLIGHT))
    try:
        lists[began.session_id] = session_rows(journal.records, about)
    except MISFITS:
        problems.append(misfit_notice(journal.path))
    else:
        places[began.session_id] = journal.path


def misfit_notice(path: Path) -> str:
    """Return the sentence about records that are intact but contradict each other."""
    return f"The records of {path} do not fit together. {UNTOUCHED}"
