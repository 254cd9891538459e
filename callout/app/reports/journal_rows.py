"""One journal after another as rows of tables, or as a sentence on what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from callout.app.reports.journals import MISFITS, UNTOUCHED, lost_words, misfit_notice
from callout.core.checklist_run.records import Began
from callout.core.debrief.columns import rows_of
from callout.core.debrief.facts import FlightFact
from callout.core.debrief.gather import NO_FLIGHT, flight_row, gather_facts, session_rows
from callout.core.flight_run.records import SectorBegan
from callout.core.sentences import journals as sentences
from callout.core.sentences.commands import report_answers
from callout.errors import JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.sector_files import FLIGHTS, journal_named
from callout.store.collection import Known, Loaded

Stamp = tuple[int, int]
"""Bytes of a file, and when it was changed, in nanoseconds."""


def twice(known: Known, before: str) -> Loaded:
    """Return a copy of a session whose rows another journal has given."""
    said = sentences.same_session_twice(known.path, before)
    return Loaded(replace(known, holds="", counts=False, problem=said))


@dataclass(slots=True)
class JournalRows:
    """Reads the journals of one folder; a session that comes twice counts once."""

    folder: Path
    school: str = ""
    flights: dict[str, tuple[FlightFact, Mapping[str, str]]] = field(default_factory=dict)
    seen: dict[str, str] = field(default_factory=dict)
    """Journals by the id of their session."""

    def flight(self, path: Path, stamp: Stamp) -> Loaded:
        """Return the rows of a flight's journal, or what is wrong with it."""
        known = Known(str(path), str(self.folder), *stamp)
        journal = _read_whole(path)
        if isinstance(journal, str):
            return Loaded(replace(known, problem=journal))
        began = journal.records[0]
        if not isinstance(began, SectorBegan):
            return Loaded(replace(known, problem=misfit_notice(path)))
        try:
            fact = flight_row(journal.records)
        except MISFITS:
            return Loaded(replace(known, id=began.sector_id, problem=misfit_notice(path)))
        self.flights[fact.flight] = (fact, began.about)
        who = fact.person or self.folder.name
        named = replace(fact, person=who, school=self.school)
        whole = replace(
            known, holds="flight", id=fact.flight, counts=True, problem=_torn_notice(journal)
        )
        return Loaded(whole, [("flights", named)])

    def list(self, path: Path, stamp: Stamp) -> Loaded:
        """Return the rows of a list's journal, or what is wrong with it."""
        known = Known(str(path), str(self.folder), *stamp)
        journal = _read_whole(path)
        if isinstance(journal, str):
            return Loaded(replace(known, problem=journal))
        began = journal.records[0]
        if is_demonstration(journal.records):
            return Loaded(known)
        if not isinstance(began, Began):
            return Loaded(replace(known, problem=misfit_notice(path)))
        flight = began.about.get("sector", "")
        known = replace(known, id=began.session_id, flight=flight)
        before = self.seen.setdefault(began.session_id, str(path))
        if before != str(path):
            return twice(known, before)
        fact, about = self._flight_of(flight)
        try:
            one = session_rows(journal.records, about)
        except MISFITS:
            return Loaded(replace(known, problem=misfit_notice(path)))
        facts = gather_facts([one], [fact] if fact else [])
        session = facts.sessions[0]
        who = session.person or self.folder.name
        if who != session.person or self.school:
            session = replace(session, person=who, school=self.school)
        whole = replace(known, holds="list", counts=True, problem=_torn_notice(journal))
        return Loaded(whole, list(rows_of(session, facts.items)))

    def _flight_of(self, name: str) -> tuple[FlightFact | None, Mapping[str, str]]:
        """Return the flight a list belongs to, from its journal."""
        if name not in self.flights and (path := journal_named(self.folder / FLIGHTS, name)):
            self.flight(path, (0, 0))
        return self.flights.get(name, (None, NO_FLIGHT))


def _read_whole(path: Path) -> JournalRead | str:
    """Return a journal with records in it, else what is wrong with it."""
    try:
        found = read_journal(path)
    except JournalDamaged as error:
        return f"{error.message} {UNTOUCHED}"
    return found if found.records else report_answers.journal_has_no_records(path)


def _torn_notice(journal: JournalRead) -> str:
    if journal.lost:
        return lost_words(journal)
    if not journal.torn:
        return ""
    return sentences.last_line_unfinished(journal.path)
