"""Turns journals one by one into rows of tables, or into a sentence about what is wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from callout.app.reports.journals import MISFITS, UNTOUCHED, lost_words, misfit_notice
from callout.core.checklist_run.records import Began
from callout.core.conversation.records import JournalRecord
from callout.core.debrief.columns import Rows, flight_values, session_values
from callout.core.debrief.facts import FlightFact
from callout.core.debrief.gather import NO_FLIGHT, flight_row, gather_facts, session_rows
from callout.core.debrief.quick_values import quick_values
from callout.core.flight_run.records import SectorBegan
from callout.core.sentences import journals as sentences
from callout.core.sentences.commands import report_answers
from callout.errors import JournalDamaged, JournalUnreadable
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.sector_files import FLIGHTS, journal_named
from callout.store.staging import UNREAD, Known, Loaded, twice

Stamp = tuple[int, int]
"""Size of a file in bytes, and its modification time in nanoseconds."""


@dataclass(slots=True)
class JournalRows:
    """Reads the journals of one folder; a duplicate session counts once."""

    folder: Path
    school: str = ""
    flights: dict[str, tuple[FlightFact, Mapping[str, str]]] = field(default_factory=dict)
    seen: dict[str, str] = field(default_factory=dict)
    """Journals by the id of their session."""
    unread: set[str] = field(default_factory=set)
    """Flights whose journals cannot be read here."""

    def flight(self, path: Path, stamp: Stamp) -> Loaded:
        """Return the rows of a flight's journal, or what is wrong with it."""
        known = Known(str(path), str(self.folder), *stamp)
        journal = _read_whole(path)
        if not isinstance(journal, JournalRead):
            return Loaded(journal.on(known))
        began = journal.records[0]
        if not isinstance(began, SectorBegan):
            return Loaded(replace(known, problem=misfit_notice(path)))
        try:
            fact = flight_row(journal.records)
            rows = flight_values(
                replace(fact, person=fact.person or self.folder.name, school=self.school)
            )
        except MISFITS:
            return Loaded(replace(known, id=began.sector_id, problem=misfit_notice(path)))
        self.flights[fact.flight] = (fact, began.about)
        whole = replace(
            known, holds="flight", id=fact.flight, counts=True, problem=_torn_notice(journal)
        )
        return Loaded(whole, rows)

    def list(self, path: Path, stamp: Stamp) -> Loaded:
        """Return the rows of a list's journal, or what is wrong with it."""
        known = Known(str(path), str(self.folder), *stamp)
        journal = _read_whole(path)
        if not isinstance(journal, JournalRead):
            return Loaded(journal.on(known))
        began = journal.records[0]
        if is_demonstration(journal.records):
            return Loaded(known)
        if not isinstance(began, Began):
            return Loaded(replace(known, problem=misfit_notice(path)))
        flight = began.about.get("sector", "")
        known = Known(str(path), str(self.folder), *stamp, id=began.session_id, flight=flight)
        before = self.seen.setdefault(began.session_id, str(path))
        if before != str(path):
            return Loaded(twice(known, before))
        try:
            rows = self._rows(journal.records, began, flight)
        except MISFITS:
            return Loaded(replace(known, problem=misfit_notice(path)))
        whole = replace(known, holds="list", counts=True, problem=_torn_notice(journal))
        return Loaded(replace(whole, size=UNREAD) if flight in self.unread else whole, rows)

    def _rows(self, records: Sequence[JournalRecord], began: Began, flight: str) -> Rows:
        fact, about = self._flight_of(flight)
        early = fact is not None and began.session_id in fact.warned
        named, who = {**about, **began.about}, self.folder.name
        quick = quick_values(records, named, who, self.school, early=early)
        if quick is not None:
            return quick
        facts = gather_facts([session_rows(records, about)], [fact] if fact else [])
        session = facts.sessions[0]
        session = replace(session, person=session.person or who, school=self.school)
        return session_values(session, facts.items)

    def _flight_of(self, name: str) -> tuple[FlightFact | None, Mapping[str, str]]:
        """Return the flight that a list belongs to, from its journal."""
        if not name:
            return None, NO_FLIGHT
        known = name in self.flights
        path = None if known else journal_named(self.folder / FLIGHTS, name)
        if path and self.flight(path, (0, 0)).known.size == UNREAD:
            self.unread.add(name)
        return self.flights.get(name, (None, NO_FLIGHT))


@dataclass(frozen=True, slots=True)
class _Unread:
    """What is wrong with a journal."""

    problem: str
    for_now: bool = False
    """Another process, or this one later, may be able to read it."""

    def on(self, known: Known) -> Known:
        return replace(known, problem=self.problem, size=UNREAD if self.for_now else known.size)


def _read_whole(path: Path) -> JournalRead | _Unread:
    """Return a journal with at least one record, else what is wrong with it."""
    try:
        found = read_journal(path)
    except JournalDamaged as error:
        return _Unread(f"{error.message} {UNTOUCHED}", isinstance(error, JournalUnreadable))
    return found if found.records else _Unread(report_answers.journal_has_no_records(path))


def _torn_notice(journal: JournalRead) -> str:
    if journal.lost:
        return lost_words(journal)
    if not journal.torn:
        return ""
    return sentences.last_line_unfinished(journal.path)
