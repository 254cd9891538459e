"""``callout bench practice``: does the picker prevent slips better than a fixed cycle?"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

import click
import numpy as np

from callout.app.running.drilling import DrillWish
from callout.app.running.practice import pages_in
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.bench.learners import LEARNERS, Learner, calibration_lines, slip_chance
from callout.core.drill.entries import Entry, ItemKey, entries_of
from callout.core.drill.evidence import Grade, Review
from callout.core.drill.picking import CRITICAL, pick_items
from callout.core.drill.schedule import (
    ItemStanding,
    Trace,
    item_standings,
    recall_chance,
    slip_risk,
)
from callout.core.sentences.commands import benches as sentences

BEGAN = datetime(2031, 1, 1, tzinfo=UTC)
ITEMS = 135
SLOTS = DrillWish().slots
BEFORE, DAYS, LAST = 60, 60, 10
"""Days of flying before any drill; days with a drill; of those, the ones that count."""
FLIES_EVERY = 4
FLOWN, DRILLED, ASKED = 0.4, 0.8, 1.3
"""When in a day."""


@dataclass
class Bench:
    """One learner, and what the journals would hold of them."""

    learner: Learner
    chance: np.random.Generator
    entries: Sequence[Entry]
    slots: int
    reviews: list[Review] = field(default_factory=list)
    traces: dict[ItemKey, Trace] = field(default_factory=dict)
    cycle: int = 0
    shown: list[tuple[float, float]] = field(default_factory=list)
    """Risk shown at each exercise, and the true one."""
    waiting: list[tuple[float, float]] = field(default_factory=list)
    """The same of the items that were not picked."""

    def meet(self, items: Sequence[int], day: float, *, drill: bool) -> list[bool]:
        """Meet some items and write down how they went."""
        chances = slip_chance(self.learner, day)
        slips = [bool(self.chance.random() < chances[n]) for n in items]
        self.learner.meet(items, day, np.asarray(slips, dtype=bool))
        at, origin = BEGAN + timedelta(days=day), f"{day:g}"
        for n, slipped in zip(items, slips, strict=True):
            grade = Grade.MISSED if slipped else Grade.RIGHT
            self.reviews.append(Review(self.entries[n].key, at, grade, origin, 0, drill=drill))
        return slips

    def standings(self, day: float) -> dict[ItemKey, ItemStanding]:
        """Return what the journals say."""
        now = BEGAN + timedelta(days=day)
        return item_standings(self.reviews, now, lambda _: False, self.traces)


Picker = Callable[[Bench, float], list[int]]


def _cycle(bench: Bench, day: float) -> list[int]:
    first, bench.cycle = bench.cycle, bench.cycle + bench.slots
    return [n % len(bench.entries) for n in range(first, bench.cycle)]


def _random(bench: Bench, day: float) -> list[int]:
    drawn = bench.chance.choice(len(bench.entries), bench.slots, replace=False)
    return [int(n) for n in drawn]


def _former(bench: Bench, day: float) -> list[int]:
    """The rule up to 0.1.0: highest risk first, slips of both causes counted twice."""
    now, ahead = BEGAN + timedelta(days=day), BEGAN + timedelta(days=day + 7)
    known, wrong, total = bench.standings(day), _blank(bench), _blank(bench)
    for review in bench.reviews:
        weight = 0.5 ** ((now - review.at) / timedelta(days=60))
        total[review.key] += weight
        wrong[review.key] += weight * (review.grade is Grade.MISSED)
    base = sum(wrong.values()) / sum(total.values())
    scores = []
    for entry in bench.entries:
        share = (5 * base + wrong[entry.key]) / (5 + total[entry.key])
        risk = 1 - recall_chance(known[entry.key], ahead) * (1 - share)
        done = known[entry.key].drilled
        today = done is not None and now - done < timedelta(hours=12)
        scores.append((today, -risk * (CRITICAL if entry.item.critical else 1.0)))
    return sorted(range(len(scores)), key=scores.__getitem__)[: bench.slots]


def _blank(bench: Bench) -> dict[ItemKey, float]:
    return {entry.key: 0.0 for entry in bench.entries}


def _tool(bench: Bench, day: float) -> list[int]:
    now = BEGAN + timedelta(days=day)
    places = {entry.key: n for n, entry in enumerate(bench.entries)}
    known = bench.standings(day)
    found = pick_items(bench.entries, known, now, bench.slots)
    chosen = [places[p.entry.key] for p in found]
    chances = slip_chance(bench.learner, day)
    bench.shown += [(p.risk, float(chances[n])) for p, n in zip(found, chosen, strict=True)]
    others = {entry.key: n for n, entry in enumerate(bench.entries) if n not in chosen}
    bench.waiting += [(slip_risk(known[k], now), float(chances[n])) for k, n in others.items()]
    return chosen


def _knowing(bench: Bench, day: float) -> list[int]:
    """Knows what is forgotten, and takes that first; the best for the next day only."""
    weight = np.asarray([CRITICAL if e.item.critical else 1.0 for e in bench.entries])
    lost = weight * (1 - bench.learner.known(day + 2)) * (1 - bench.learner.lapses)
    return [int(n) for n in np.argsort(-lost)[: bench.slots]]


PICKERS: dict[str, Picker | None] = {
    "no drill": None,
    "at random": _random,
    "fixed cycle": _cycle,
    "by risk, as before": _former,
    "by expected gain": _tool,
    "knows what is forgotten": _knowing,
}


@dataclass(frozen=True, slots=True)
class Ended:
    """One person at the end."""

    all: float
    """Share of slips to expect at any item, mean of the last days."""
    critical: float
    starved: int
    """Items not met for three weeks."""
    shown: tuple[tuple[float, float], ...]
    """Risk shown at each exercise, and the true one."""
    waiting: tuple[tuple[float, float], ...]
    """The same of the items that were not picked."""


def practise_person(
    kind: str, picker: str, flying: bool, person: int, entries: Sequence[Entry]
) -> Ended:
    """Let one invented person fly, then drill every day; ``person`` is the seed."""
    chance = np.random.default_rng(person)
    bench = Bench(LEARNERS[kind](len(entries), chance), chance, entries, SLOTS)
    critical = np.asarray([entry.item.critical for entry in entries])
    choose, found, last = PICKERS[picker], [], np.zeros(len(entries))
    for day in range(BEFORE + DAYS):
        if day % FLIES_EVERY == 0 and (flying or day < BEFORE):
            bench.meet(range(len(entries)), day + FLOWN, drill=False)
            last[:] = day
        if choose and day >= BEFORE:
            items = choose(bench, day + DRILLED)
            bench.meet(items, day + DRILLED, drill=True)
            last[items] = day
        if day >= BEFORE + DAYS - LAST:
            found.append(slip_chance(bench.learner, day + ASKED))
    mean = np.mean(found, axis=0)
    starved = int((last < BEFORE + DAYS - 21).sum())
    ended = float(mean.mean()), float(mean[critical].mean())
    return Ended(*ended, starved, tuple(bench.shown), tuple(bench.waiting))


def shipped_entries(items: int = ITEMS) -> list[Entry]:
    """Return that many items of the shipped lists."""
    folders = sorted(p for p in shipped_folder(CHECKLISTS).iterdir() if p.is_dir())
    pages = [page for folder in folders for page in pages_in(folder)]
    return list(entries_of(pages))[:items]


@click.command("practice")
@click.option("--people", default=20, show_default=True, help=sentences.PRACTICE_PEOPLE)
@click.option("--first", default=0, show_default=True, help=sentences.PRACTICE_FIRST)
@click.option("--picker", "pickers", multiple=True, type=click.Choice(list(PICKERS)),
              default=list(PICKERS), help=sentences.PRACTICE_PICKER)  # fmt: skip
def command(people: int, first: int, pickers: tuple[str, ...]) -> None:
    """Let invented learners fly and drill for two months, with several ways to pick.

    They forget according to two memory models that differ from the schedule's. Prints the share of
    slips to expect in the last ten days, at all items and at critical ones.
    """
    entries = shipped_entries()
    critical = sum(entry.item.critical for entry in entries)
    click.echo(sentences.persons_items_slots(people, len(entries), critical, SLOTS))
    for kind in LEARNERS:
        for flying in (True, False):
            title = f"flying every {FLIES_EVERY} days" if flying else "no flying"
            click.echo(f"{kind}, {title}: all / critical, items not met for three weeks")
            persons = range(first, first + people)
            for line in cell_lines(kind, flying, persons, entries, pickers):
                click.echo(line)


def cell_lines(
    kind: str,
    flying: bool,
    persons: Sequence[int],
    entries: Sequence[Entry],
    pickers: Sequence[str] = tuple(PICKERS),
) -> Iterator[str]:
    """Yield a line for each way to pick, then how well the shown risk was calibrated."""
    shown: list[tuple[float, float]] = []
    waiting: list[tuple[float, float]] = []
    cycle: Any = None
    for name in pickers:
        ended = [practise_person(kind, name, flying, person, entries) for person in persons]
        both = np.asarray([(one.all, one.critical) for one in ended])
        starved = sum(one.starved for one in ended) / len(persons)
        cycle = both if name == "fixed cycle" else cycle
        less = "" if cycle is None or name == "fixed cycle" else _against(both - cycle)
        yield (
            f"  {name:<24}"
            + " / ".join(f"{n:.3f}" for n in both.mean(axis=0))
            + (f"  {starved:.0f}{less}")
        )
        shown += [pair for one in ended for pair in one.shown]
        waiting += [pair for one in ended for pair in one.waiting]
    yield from calibration_lines(shown)
    if waiting:
        yield "  items that were not picked:"
        yield from calibration_lines(waiting)


def _against(less: Any) -> str:
    """Return the difference to the fixed cycle, with its standard error over persons."""
    weighted, error = less.mean(axis=0), less.std(axis=0, ddof=1) / len(less) ** 0.5
    pairs = zip(weighted, error, strict=True)
    return "  against the cycle " + " / ".join(f"{d:+.4f} ± {1.96 * e:.4f}" for d, e in pairs)
