"""How far a person has learnt the flows of an aircraft, computed from the journals each time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache, partial
from pathlib import Path

from callout.app.shared.settings import Settings
from callout.core.checklist_run.flow_stages import past_after
from callout.core.checklist_run.records import Began
from callout.core.checklist_run.state import FlowPast
from callout.core.conversation.pacing import FlowMode
from callout.core.conversation.records import JournalRecord
from callout.core.flight_run.records import SectorBegan
from callout.core.keeping.forgetting import may_be
from callout.errors import JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import read_journal
from callout.journal.sector_files import FLIGHTS, journal_named


def flow_pasts(
    list_ids: Iterable[str], aircraft: str, journals: Path, settings: Settings
) -> dict[str, FlowPast]:
    """Return what the journals say about the flow of each list; empty if no stage needs it."""
    if settings.pacing.flow not in (FlowMode.NEXT, FlowMode.CLOCK):
        return {}
    person, flights = settings.crew_name, cache(partial(_flights_by_list, journals))
    return {
        name: past_after(_journals_of_list(name, aircraft, journals, person, flights))
        for name in list_ids
    }


def _journals_of_list(
    list_id: str,
    aircraft: str,
    journals: Path,
    person: str,
    flight: Callable[[str], Mapping[str, str]],
) -> Iterator[tuple[JournalRecord, ...]]:
    """Yield a person's journals of one list, oldest first; damaged ones are ignored.

    flight: what is known about a flight, by its id.
    """
    for path in sorted(journals.glob(f"*-{list_id}-*.jsonl")):
        records = _records_of(path)
        began = records[0] if records else None
        if not isinstance(began, Began) or is_demonstration(records):
            continue
        about = {**flight(began.about.get("sector", "")), **began.about}
        theirs = may_be(about.get("crew", ""), person)
        if began.plan.list_id == list_id and about.get("aircraft", "") == aircraft and theirs:
            yield records


def _flights_by_list(journals: Path, sector: str) -> Mapping[str, str]:
    own = journal_named(journals / FLIGHTS, sector)
    records = _records_of(own) if own else ()
    began = records[0] if records else None
    return began.about if isinstance(began, SectorBegan) else {}


def _records_of(path: Path) -> tuple[JournalRecord, ...]:
    try:
        return tuple(read_journal(path).records)
    except JournalDamaged:
        return ()
