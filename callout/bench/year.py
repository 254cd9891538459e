"""``callout bench year``: an invented year of practice, and what the trends find in it."""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import click

from callout.app.running.flight_folder import load_folder
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.bench.persons import NAMES, Person, Planted, PlantedWeakness, invent_weaknesses
from callout.bench.rehearsal import ENGINE, Act, Rehearsal, right_words, wrong_words
from callout.core.debrief.trends import TrendFinding, TrendKind
from callout.core.model.intervals import wilson_interval
from callout.core.planning.plan import Plan, PlannedItem
from callout.core.planning.run_plan import plan_for
from callout.core.sentences.commands import benches as sentences
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
    folder: Path,
    *,
    seed: int = 1,
    sessions: int = SESSIONS,
    names: Sequence[str] = NAMES,
    weak: bool = True,
) -> Year:
    """Write the journals of ``sessions`` sessions into ``folder`` and return what was planted.

    Each goes through the session core and the record codec, as a live one does; the same seed
    gives the same journals. weak: False plants nothing.
    """
    folder.mkdir(parents=True, exist_ok=True)
    chance = random.Random(seed)
    plans, about = _plans()
    planted = invent_weaknesses(names, plans, chance) if weak else {name: [] for name in names}
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
    folder = load_folder(shipped_folder(CHECKLISTS) / AIRCRAFT)
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


KINDS = {
    PlantedWeakness.SKIPS: TrendKind.SKIPPED,
    PlantedWeakness.WRONG: TrendKind.WRONG,
    PlantedWeakness.FAST: TrendKind.FAST,
    PlantedWeakness.SLOW: TrendKind.SLOW,
    PlantedWeakness.BETTER: TrendKind.BETTER,
    PlantedWeakness.WORSE: TrendKind.WORSE,
}
"""What each planted weakness should be found as."""


@dataclass(frozen=True, slots=True)
class Score:
    """Findings against what was planted."""

    planted: int
    found: int
    right: int
    """Found at the right item of the right person, and with the right kind."""
    placed: int
    """Found at an item where something is planted, whatever the kind."""
    reached: int
    """Planted at an item where something was found, whatever the kind."""


def score_findings(planted: Sequence[Planted], findings: Sequence[TrendFinding]) -> Score:
    """Compare findings with the truth."""
    truth = {(p.person, p.list_id, p.item_id): KINDS[p.weakness] for p in planted}
    told = [((f.person, f.place.list_id, f.place.item_id), f.kind) for f in findings]
    return Score(
        planted=len(truth),
        found=len(told),
        right=sum(truth.get(place) is kind for place, kind in told),
        placed=sum(place in truth for place, _ in told),
        reached=len(truth.keys() & {place for place, _ in told}),
    )


@click.command("year", short_help=sentences.BENCH_YEAR)
@click.option("--sessions", type=click.IntRange(1), default=SESSIONS, show_default=True)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option("--no-weakness", is_flag=True, help=sentences.YEAR_NO_WEAKNESS)
@click.option("--keep", type=click.Path(path_type=Path), help=sentences.YEAR_KEEP)
def command(sessions: int, seed: int, no_weakness: bool, keep: Path | None) -> None:
    """Invent a year of practice, and print how well `callout trends` finds what was planted.

    Six invented people each have eight weaknesses at randomly drawn items: an item often skipped,
    two wrong, two answered too fast, one slow, one that gets better, one that gets worse. The exit
    code is 1 if fewer than nine in ten findings are at an item with a weakness.
    """
    if keep and keep.exists() and any(keep.iterdir()):
        raise click.UsageError(sentences.not_empty(keep))
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        year = make_year(keep or Path(folder), seed=seed, sessions=sessions, weak=not no_weakness)
        made = time.perf_counter()
        findings = _found(year.folder)
        done = time.perf_counter()
    click.echo(f"{year.sessions} sessions of {len(year.names)} persons, {year.records} records")
    click.echo(f"made in {made - began:.1f} s, read and tested in {done - made:.1f} s")
    result = score_findings(year.planted, findings)
    for line in score_lines(year, findings, result):
        click.echo(line)
    sys.exit(1 if result.placed < 0.9 * result.found else 0)


def _found(folder: Path) -> tuple[TrendFinding, ...]:
    from callout.app.reports.journals import read_folder
    from callout.app.reports.trending import trends_of
    from callout.core.debrief.rates import SessionChoice

    return trends_of(read_folder(folder), SessionChoice()).findings


def score_lines(year: Year, findings: Sequence[TrendFinding], result: Score) -> Iterator[str]:
    """Yield overall precision and recall, and recall of each kind."""
    yield _share("precision, item and kind", result.right, result.found)
    yield _share("precision, item", result.placed, result.found)
    yield _share("recall, item and kind", result.right, result.planted)
    yield _share("recall, item", result.reached, result.planted)
    known = {(f.person, f.place.list_id, f.place.item_id, f.kind) for f in findings}
    planted = Counter(p.weakness for p in year.planted)
    hits = Counter(
        p.weakness
        for p in year.planted
        if (p.person, p.list_id, p.item_id, KINDS[p.weakness]) in known
    )
    for weakness, count in planted.items():
        yield _share(f"  {weakness.value}", hits[weakness], count)


def _share(name: str, hits: int, total: int) -> str:
    low, high = wilson_interval(hits, total)
    share = f"{hits / total:.0%} [{low:.0%}, {high:.0%}]" if total else "none"
    return f"{name}: {hits} of {total}, {share}"
