"""Everything a person has practised, from journals in any number of folders."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from callout.app.running.flight_folder import load_folder
from callout.app.shared.own_wordings import Did, WordingPlace, Wordings
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.records import Began, Replanned
from callout.core.conversation.records import JournalRecord
from callout.core.debrief.gather import NO_FLIGHT, session_rows
from callout.core.drill.entries import Page
from callout.core.drill.evidence import Review, merged_reviews, reviews_of
from callout.core.drill.history import Done, drill_done, drill_reviews
from callout.core.drill.records import DrillBegan
from callout.core.drill.waiting_items import Drawn
from callout.core.flight_run.records import SectorBegan
from callout.core.keeping.forgetting import may_be
from callout.core.model.expectation import Expectation
from callout.core.planning.run_plan import plan_for
from callout.core.sentences import session as sentences
from callout.core.understanding.own_wordings import with_wording, without_wording
from callout.errors import CalloutError, JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.sector_files import DRILLS, FLIGHTS

FIRST_AIRCRAFT = "sandling-two"
"""The aircraft whose lists a person without journals starts with."""
_MISFITS = (TypeError, ValueError, KeyError, IndexError, AttributeError, ArithmeticError)


@dataclass(slots=True)
class Practice:
    """What is known about one person."""

    reviews: list[Review] = field(default_factory=list)
    """In order of time."""
    pages: list[Page] = field(default_factory=list)
    """Lists flown, in their latest form."""
    drills: list[Done] = field(default_factory=list)
    lots: list[Drawn] = field(default_factory=list)
    others: set[str] = field(default_factory=set)
    """Other people in the journals."""
    problems: list[str] = field(default_factory=list)


Copies = dict[str, tuple[JournalRecord, ...]]


def read_practice(folders: Iterable[Path], person: str = "") -> Practice:
    """Return what the journals in ``folders`` say about ``person``; see ``practice_of``."""
    places = ((folder, folder / FLIGHTS, folder / DRILLS) for folder in folders)
    return practice_of((path for some in places for path in _journals_in(some)), person)


def drill_journals(folders: Iterable[Path]) -> Iterator[Path]:
    """Yield the journals of drills in ``folders``."""
    return _journals_in(folder / DRILLS for folder in folders)


def practice_of(paths: Iterable[Path], person: str = "") -> Practice:
    """Return what journals say about ``person``.

    person: sessions without a name count too; empty: whoever it was. A session in several folders
    counts once, using its longest copy, so the order of folders does not matter.
    """
    found = Practice()
    copies = _furthest_copies(_read_journals(paths, found))
    flights = {key: r[0].about for key, r in copies.items() if isinstance(r[0], SectorBegan)}
    reviews: list[Review] = []
    pages: dict[tuple[str, str], Page] = {}
    for _, records in sorted(copies.items(), key=lambda pair: (pair[1][0].utc, pair[0])):
        if _is_theirs(records[0], flights, person, found):
            try:
                reviews += _reviews_in(records, flights, found)
            except _MISFITS:
                said = sentences.records_contradict(_session_id(records[0]))
                found.problems.append(said)
                continue
            page = _practice_page(records, flights)
            if page:
                pages[page.aircraft, page.plan.list_id] = page
    found.reviews = merged_reviews(reviews)
    found.pages = list(pages.values())
    return found


def pages_in(folder: Path) -> list[Page]:
    """Return the lists of an aircraft's folder; raises ChecklistInvalid."""
    loaded = load_folder(folder)
    plans = (plan_for(found, loaded.flight, default_tables()) for found in loaded.lists)
    return [Page(loaded.aircraft, plan) for plan in plans]


def with_own_wordings(pages: Iterable[Page], own: Wordings) -> list[Page]:
    """Return lists as a person may answer them today: revoked wordings no longer count."""
    gone = own.once(Did.REVOKED)
    kept, _ = own.in_force()
    tables = default_tables()
    changed = []
    for page in pages:
        items = {item.id: item.expectation for item in page.plan.items}
        for place in gone:
            if _is_on(place, page, items):
                items[place.item_id] = without_wording(items[place.item_id], place.words)
        for one in kept:
            if _is_on(one.place, page, items) and items[one.place.item_id].accepted:
                name = one.place.item_id
                items[name] = with_wording(items[name], one.place.words, tables)
        fresh = tuple(replace(item, expectation=items[item.id]) for item in page.plan.items)
        changed.append(replace(page, plan=replace(page.plan, items=fresh)))
    return changed


def _is_on(place: WordingPlace, page: Page, items: Mapping[str, Expectation]) -> bool:
    here = (place.aircraft, place.list_id) == (page.aircraft, page.plan.list_id)
    return here and place.item_id in items


def first_pages() -> list[Page]:
    """Return the shipped lists that a person without journals starts with."""
    return pages_in(shipped_folder(CHECKLISTS) / FIRST_AIRCRAFT)


def _journals_in(places: Iterable[Path]) -> Iterator[Path]:
    for place in places:
        yield from sorted(place.glob("*.jsonl"))


def _read_journals(paths: Iterable[Path], found: Practice) -> Iterator[JournalRead]:
    for path in paths:
        try:
            read = read_journal(path)
        except JournalDamaged as error:
            found.problems.append(sentences.does_not_count(error.message))
            continue
        if read.records:
            yield read


def _furthest_copies(journals: Iterable[JournalRead]) -> Copies:
    copies: Copies = {}
    for read in journals:
        key = _session_id(read.records[0])
        if len(read.records) > len(copies.get(key, ())):
            copies[key] = read.records
    return copies


def _session_id(began: JournalRecord) -> str:
    match began:
        case Began():
            return began.session_id
        case SectorBegan():
            return began.sector_id
        case DrillBegan():
            return began.drill_id
        case _:
            return ""


def _is_theirs(
    began: JournalRecord, flights: Mapping[str, Mapping[str, str]], person: str, found: Practice
) -> bool:
    if is_demonstration((began,)):
        return False
    about: Mapping[str, str] = getattr(began, "about", NO_FLIGHT)
    crew = about.get("crew", "") or flights.get(about.get("sector", ""), NO_FLIGHT).get("crew", "")
    theirs = may_be(crew, person)
    if crew and not (person and theirs):
        found.others.add(crew)
    return theirs


def _reviews_in(
    records: Sequence[JournalRecord], flights: Mapping[str, Mapping[str, str]], found: Practice
) -> Iterator[Review]:
    began = records[0]
    if isinstance(began, DrillBegan):
        found.drills.append(drill_done(records))
        found.lots += (Drawn(began.utc, lot) for lot in began.lots)
        yield from drill_reviews(records)
    elif isinstance(began, Began):
        flight = flights.get(began.about.get("sector", ""), NO_FLIGHT)
        yield from reviews_of(session_rows(records, flight)[1])


def _practice_page(
    records: Sequence[JournalRecord], flights: Mapping[str, Mapping[str, str]]
) -> Page | None:
    began = records[0]
    if not isinstance(began, Began):
        return None
    plans = [r.plan for r in records if isinstance(r, Began | Replanned)]
    flight = flights.get(began.about.get("sector", ""), NO_FLIGHT)
    return Page({**flight, **began.about}.get("aircraft", ""), plans[-1])


def check_whose(found: Practice, person: str) -> None:
    """Raise CalloutError if it is unclear whose journals these are."""
    if not person and len(found.others) > 1:
        names = ", ".join(sorted(found.others))
        raise CalloutError(
            sentences.journals_of_several(names),
            sentences.SAY_WHO_PRACTISES,
        )
