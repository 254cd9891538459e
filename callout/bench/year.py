"""``callout bench year``: a made-up year of practice, and what the reports find in it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from callout.app.flight_folder import load_folder
from callout.app.shipped import CHECKLISTS, shipped
from callout.app.tables import default_tables
from callout.bench.persons import NAMES, Person, Planted, invent
from callout.bench.rehearsal import ENGINE, Act, Rehearsal, right_words, wrong_words
from callout.core.plan import Plan, PlannedItem
from callout.core.planning import plan_for
from callout.journal.jsonl_writer import journal_name, line_of

AIRCRAFT = "halvern-seventy"
LISTS = ("before-start", "after-start", "taxi", "before-takeoff", "approach", "landing")
BEGAN = datetime(2031, 1, 1, tzinfo=UTC)
DAYS = 365
SESSIONS = 2000


@dataclass(frozen=True, slots=True)
class Year:
    """A folder of journals, and what is known of it."""

    folder: Path
    planted: tuple[Planted, ...]
    sessions: int
    records: int
    names: tuple[str, ...]


def make_year(
    folder: Path, *, seed: int = 1, sessions: int = SESSIONS, names: Sequence[str] = NAMES
) -> Year:
    """Write the journals of ``sessions`` sessions into ``folder`` and return what was planted.

    Each goes through the session core and the record codec, as a live one does; the same seed
    gives the same journals.
    """
    folder.mkdir(parents=True, exist_ok=True)
    chance = random.Random(seed)
    plans, about = _plans()
    planted = invent(names, plans, chance)
    right, wrong = _replies(plans)
    persons = [Person(n, planted[n], chance, right=right, wrong=wrong) for n in names]
    records = 0
    for number in range(sessions):
        person = persons[number % len(persons)]
        person.year = (number + 0.5) / sessions
        plan = plans[(number // len(persons)) % len(plans)]
        day = timedelta(days=int(DAYS * person.year), hours=chance.uniform(7, 20))
        began = BEGAN + day
        mark = f"{chance.getrandbits(24):06x}"
        records += _practise(folder, person, plan, began, mark, {**about, "crew": person.name})
    known = tuple(p for mine in planted.values() for p in mine)
    return Year(folder, known, sessions, records, tuple(names))


def _plans() -> tuple[list[Plan], dict[str, str]]:
    folder = load_folder(shipped(CHECKLISTS) / AIRCRAFT)
    lists = {c.id: c for c in folder.lists}
    plans = [plan_for(lists[name], folder.flight, default_tables()) for name in LISTS]
    about = {
        "aircraft": folder.aircraft,
        "operator": folder.flight.operator,
        "hearing": ENGINE,
        "made": "bench year",
    }
    return plans, about


Words = dict[tuple[str, str], str]


def _replies(plans: Sequence[Plan]) -> tuple[Words, Words]:
    places = [(plan.list_id, item) for plan in plans for item in plan.items if item.applicable]
    right = {(name, item.id): right_words(item.expectation) for name, item in places}
    wrong = {(name, item.id): wrong_words(item.expectation) for name, item in places}
    return right, wrong


def _practise(
    folder: Path, person: Person, plan: Plan, began: datetime, mark: str, about: dict[str, str]
) -> int:
    session_id = journal_name(plan.list_id, began, mark)
    rehearsal = Rehearsal(plan, session_id, began, about)
    chance = person.chance
    event, place = chance.random(), chance.randrange(1, len(plan.items))

    def behave(item: PlannedItem, tries: int) -> list[Act]:
        if tries == 0 and rehearsal.state.progress.position == place:
            _disturb(rehearsal, event, chance)
        return person.behave(plan.list_id, item, tries)

    rehearsal.run(behave, stop=event > 0.995)
    # one write a session: nobody waits here for the disk to have each reply
    lines = b"".join(line_of(record) for record in rehearsal.records)
    (folder / f"{session_id}.jsonl").write_bytes(lines)
    return len(rehearsal.records)


def _disturb(rehearsal: Rehearsal, event: float, chance: random.Random) -> None:
    """Hold, break off or leave the list here, each with its share of the sessions."""
    if event < 0.05:
        rehearsal.hold(chance.uniform(10, 240))
    elif event < 0.07:
        rehearsal.break_off(chance.uniform(60, 7200))
    elif event < 0.075:
        rehearsal.leave()
