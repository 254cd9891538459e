"""Replies of a session that were not accepted before the person gave the right one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from callout.app.reports.debriefing import journals_of
from callout.app.shared.own_wordings import Did, WordingPlace, Wordings
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.records import Began, Replanned, Replied
from callout.core.conversation.records import JournalRecord
from callout.core.flight_run.records import SectorBegan
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan
from callout.core.understanding.own_wordings import WordingOffer, offer_of
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import read_journal


@dataclass(frozen=True, slots=True)
class SessionOffer:
    """One offer, and the list it belongs to."""

    offer: WordingOffer
    place: WordingPlace
    title: str
    """Title of the list."""
    session: str


def offers_in(what: str, folder: Path, own: Wordings) -> list[SessionOffer]:
    """Return what may be accepted next time, from one session or flight.

    what: as for a debrief. Wordings declined or accepted before are not offered again. Raises
    CalloutError if there is no such session.
    """
    found: dict[WordingPlace, SessionOffer] = {}
    known = own.once(Did.DECLINED) | {one.place for one in own.in_force()[0]}
    flight: dict[str, str] = {}
    for path in journals_of(what, folder):
        records = read_journal(path).records
        began = records[0] if records else None
        if isinstance(began, SectorBegan):
            flight = dict(began.about)
        if isinstance(began, Began) and not is_demonstration(records):
            aircraft = {**flight, **began.about}.get("aircraft", "")
            for one in _of_list(records, began, aircraft):
                found.setdefault(one.place, one)
    return [one for place, one in found.items() if place not in known]


def _of_list(
    records: Sequence[JournalRecord], began: Began, aircraft: str
) -> Iterator[SessionOffer]:
    for offer in _offers_of(records, began.plan):
        place = WordingPlace(aircraft, began.plan.list_id, offer.item_id, offer.words)
        yield SessionOffer(offer, place, began.plan.title, began.session_id)


def _offers_of(records: Sequence[JournalRecord], plan: Plan) -> Iterator[WordingOffer]:
    refused: dict[str, list[Utterance]] = {}
    tables = default_tables()
    for record in records:
        if isinstance(record, Replanned):
            plan = record.plan
        elif isinstance(record, Replied) and record.said is Verdict.MATCH:
            continue  # the words were right
        elif isinstance(record, Replied) and record.verdict is not Verdict.MATCH:
            refused.setdefault(record.item_id, []).append(record.utterance)
        elif isinstance(record, Replied):
            index = plan.index(record.item_id)
            said = refused.pop(record.item_id, [])
            if index is not None and said:
                right = record.reply or record.utterance.words
                yield from offer_of(plan.items[index], said, right, tables)
