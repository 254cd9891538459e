"""Finds the session to debrief, and compares it with the person's earlier ones."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from callout.app.reports.journals import JournalFacts, read_files
from callout.core.checklist_run.records import Began
from callout.core.debrief.facts import Facts, FlightFact, SessionFact
from callout.core.debrief.moments import moments_of
from callout.core.debrief.session import Debrief, SessionReport, debrief_of
from callout.core.debrief.since_last_time import lead_lines
from callout.core.debrief.timeline import timeline_of
from callout.core.debrief.usual_times import usual_times
from callout.core.flight_run.records import ListCalled, SectorBegan
from callout.core.sentences import reports as sentences
from callout.core.sentences.commands import report_answers
from callout.errors import CalloutError, JournalDamaged
from callout.journal.demonstrations import DEMONSTRATIONS, is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.jsonl_writer import in_use
from callout.journal.sector_files import FLIGHTS, journal_named
from callout.journal.sound_files import kept_sounds

LATEST = "latest"
_LIST = sentences.SEE_SESSIONS_HINT


def report_on(what: str, folder: Path) -> SessionReport:
    """Return the debrief of one session or flight.

    what: a journal's path, the id of a session or flight (or its beginning), or "latest". Raises
    CalloutError if there is none, JournalDamaged if it cannot be read.
    """
    passed: list[str] = []
    path = _latest_journal(folder, passed) if what == LATEST else _find_journal(what, folder)
    found = read_journal(path)
    if not found.records:
        raise JournalDamaged(
            report_answers.journal_has_no_records(path), report_answers.NOTHING_RECORDED
        )
    paths = _lists_of(found) if isinstance(found.records[0], SectorBegan) else [path]
    known = read_files(_related_journals(paths), named=paths)
    if not _session_facts(known, paths):
        hint = known.problems[0] if known.problems else sentences.NO_LIST_CALLED
        raise CalloutError(sentences.nothing_to_debrief(path), hint)
    flight = _flight_fact(known.facts, found)
    debriefs = tuple(_build_debrief(s, known) for s in _session_facts(known, paths))
    running = (sentences.debrief_so_far(p.stem) for p in paths if in_use(p))
    lead = () if flight else tuple(lead_lines(known.facts, debriefs[0].session))
    return SessionReport(
        debriefs, flight, tuple(dict.fromkeys((*passed, *known.problems, *running))), lead
    )


def journals_of(what: str, folder: Path) -> list[Path]:
    """Return the journal that ``what`` names, followed, for a flight, by those of its lists."""
    path = _latest_journal(folder, []) if what == LATEST else _find_journal(what, folder)
    found = read_journal(path)
    flight = bool(found.records) and isinstance(found.records[0], SectorBegan)
    return [path, *(_lists_of(found) if flight else ())]


def _find_journal(what: str, folder: Path) -> Path:
    path = Path(what)
    if path.suffix == ".jsonl" or path.is_file():
        return path
    places = (folder, folder / FLIGHTS, folder / DEMONSTRATIONS)
    paths = [p for place in places if place.is_dir() for p in sorted(place.iterdir())]
    named = [p for p in paths if p.suffix == ".jsonl" and p.stem.startswith(what)]
    exact = [p for p in named if p.stem == what]
    if len(exact or named) != 1:
        said = (
            f"{len(named)} sessions in {folder} begin"
            if named
            else f"No session in {folder} begins"
        )
        raise CalloutError(f'{said} with "{what}".', _LIST)
    return (exact or named)[0]


def _latest_journal(folder: Path, passed: list[str]) -> Path:
    """Return a person's newest readable journal of a list; name those skipped."""
    for path in sorted(folder.glob("*.jsonl"), reverse=True):
        try:
            found = read_journal(path)
        except JournalDamaged as error:
            passed.append(sentences.earlier_session_instead(error.message))
            continue
        began = found.records[0] if found.records else None
        if isinstance(began, Began) and not is_demonstration(found.records):
            return path
    hint = passed[0] if passed else "Start one with: callout run, or callout fly"
    raise CalloutError(report_answers.no_sessions_yet(folder), hint)


def _lists_of(found: JournalRead) -> list[Path]:
    folder = found.path.parent.parent
    calls = [r for r in found.records if isinstance(r, ListCalled)]
    return [path for c in calls if (path := journal_named(folder, c.session_id))]


def _related_journals(paths: Iterable[Path]) -> list[Path]:
    """Return the journals of the same lists, by their names, and those of all flights."""
    found: dict[Path, None] = dict.fromkeys(paths)
    for path in tuple(found):
        name = "-".join(path.stem.split("-")[1:-1])
        found |= dict.fromkeys(sorted(path.parent.glob(f"*-{name}-*.jsonl")) if name else ())
        found |= dict.fromkeys(sorted((path.parent / FLIGHTS).glob("*.jsonl")))
    return list(found)


def _session_facts(known: JournalFacts, paths: Iterable[Path]) -> list[SessionFact]:
    wanted = set(paths)
    return [s for s in known.facts.sessions if known.paths[s.session_id] in wanted]


def _flight_fact(facts: Facts, found: JournalRead) -> FlightFact | None:
    began = found.records[0]
    if not isinstance(began, SectorBegan):
        return None
    return next((f for f in facts.flights if f.flight == began.sector_id), None)


def _build_debrief(session: SessionFact, known: JournalFacts) -> Debrief:
    path = known.paths[session.session_id]
    items = tuple(i for i in known.facts.items if i.session_id == session.session_id)
    records = read_journal(path).records
    usual = usual_times(known.facts, session)
    found = debrief_of(session, items, timeline_of(records), usual, moments_of(records))
    return replace(found, sounds=kept_sounds(path))
