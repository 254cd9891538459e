"""``callout bench drills``: does the picker find the planted weaknesses?"""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import click

from callout.app.reports.trainees import read_trainees
from callout.app.running.drilling import DrillWish
from callout.app.running.practice import read_practice
from callout.bench.persons import Planted, PlantedWeakness
from callout.bench.year import BEGAN, DAYS, SESSIONS, Year, make_year
from callout.core.drill.entries import entries_of
from callout.core.drill.picking import pick_items
from callout.core.drill.schedule import item_standings
from callout.core.instructor.compare import TraineeStanding, compare_trainees
from callout.core.sentences.commands import benches as sentences

SLOTS = (7, 10, 12, 20)
"""7: the number of weaknesses planted in each person that remain at the end of the year."""
Place = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Ranked:
    """What one person would drill with various numbers of slots, and what was planted."""

    person: str
    picked: Mapping[int, tuple[Place, ...]]
    """By number of slots: a drill sometimes owes one to a neglected item."""
    items: int
    planted: tuple[Planted, ...]

    @property
    def weak(self) -> frozenset[Place]:
        """Items that still go wrong at the end of the year."""
        bad = (p for p in self.planted if p.weakness is not PlantedWeakness.BETTER)
        return frozenset((p.list_id, p.item_id) for p in bad)

    def found(self, slots: int) -> int:
        """Return how many of them are among the first ``slots``."""
        return len(self.weak & set(self.picked[slots]))


def rank(folder: Path, person: str, planted: Sequence[Planted], now: datetime) -> Ranked:
    """Return what the picker would have ``person`` drill."""
    practice = read_practice([folder], person)
    entries = list(entries_of(practice.pages))
    values = {entry.key: entry.item.wants_value for entry in entries}
    known = item_standings(practice.reviews, now, lambda key: values[key])
    picked = {
        slots: tuple(
            (p.entry.key.list_id, p.entry.key.item_id)
            for p in pick_items(entries, known, now, slots)
        )
        for slots in SLOTS
    }
    mine = tuple(p for p in planted if p.person == person)
    return Ranked(person, picked, len(entries), mine)


def ranked(year: Year, folder: Path) -> list[Ranked]:
    """Return what everyone in an invented year would drill at its end."""
    now = BEGAN + timedelta(days=DAYS)
    return [rank(folder, name, year.planted, now) for name in year.names]


@dataclass(frozen=True, slots=True)
class Named:
    """What the instructor's comparison of a whole year names."""

    named: int
    """Items at which one person has more slips than the others."""
    right: int
    planted: int
    """Weaknesses that it can detect: it does not look at reply times."""


def compared(year: Year, folder: Path) -> Named:
    """Compare everyone in an invented year with the others."""
    found = compare_trainees(read_trainees([folder]).groups)
    seen = {(p.person, p.list_id, p.item_id) for p in year.planted
            if p.weakness not in (PlantedWeakness.SLOW, PlantedWeakness.FAST)}  # fmt: skip
    more = [
        (r.name, r.list_id, r.item_id) for r in found.items if r.standing is TraineeStanding.MORE
    ]
    return Named(len(more), len(seen & set(more)), len(seen))


@click.command("drills")
@click.option("--seed", default=1, show_default=True, help=sentences.DRILLS_SEED)
@click.option("--years", default=1, show_default=True, help=sentences.DRILLS_YEARS)
@click.option("--sessions", default=SESSIONS, show_default=True, help=sentences.DRILLS_SESSIONS)
def command(seed: int, years: int, sessions: int) -> None:
    """Plant weaknesses in an invented year of practice, and see which of them are picked.

    A weakness that faded through the year ("gets better") is gone at its end and does not count.
    Precision: picked items that were planted; recall: planted items that were picked.
    """
    found: list[Ranked] = []
    named: list[Named] = []
    for number in range(seed, seed + years):
        with tempfile.TemporaryDirectory() as place:
            year = make_year(Path(place), seed=number, sessions=sessions)
            found += ranked(year, Path(place))
            named.append(compared(year, Path(place)))
    for line in (*report(found), _told(named)):
        click.echo(line)


def _told(named: Sequence[Named]) -> str:
    count, right, planted = (sum(getattr(n, what) for n in named)
                             for what in ("named", "right", "planted"))  # fmt: skip
    return sentences.comparison_names(count, right, planted)


def report(found: Sequence[Ranked], slots: Collection[int] = SLOTS) -> Iterator[str]:
    """Yield precision and recall for some numbers of drill slots."""
    planted = sum(len(one.weak) for one in found)
    items = sum(one.items for one in found)
    yield sentences.persons_planted(len(found), items // len(found), planted)
    for count in slots:
        hits = sum(one.found(count) for one in found)
        picked = sum(len(one.picked[count]) for one in found)
        yield (
            f"{count:>3} slots each: precision {hits}/{picked} = {100 * hits / picked:.0f} %, "
            f"recall {hits}/{planted} = {100 * hits / planted:.0f} % "
            f"(by chance {100 * picked / items:.0f} %)"
        )
    yield sentences.slots_of_a_drill(DrillWish().slots)
    yield "Found in 12 slots, by kind:"
    yield from _by_kind(found)


def _by_kind(found: Sequence[Ranked]) -> Iterator[str]:
    there: Counter[PlantedWeakness] = Counter()
    hit: Counter[PlantedWeakness] = Counter()
    for one in found:
        for planted in one.planted:
            there[planted.weakness] += 1
            hit[planted.weakness] += (planted.list_id, planted.item_id) in one.picked[12]
    for weakness in PlantedWeakness:
        faded = " (no weakness any more)" if weakness is PlantedWeakness.BETTER else ""
        yield f"  {weakness.value}: {hit[weakness]} of {there[weakness]}{faded}"
