"""What to practise today: where a slip is likeliest, and would matter most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from callout.core.drill.entries import Entry, ItemKey
from callout.core.drill.evidence import Weakness
from callout.core.drill.schedule import ItemStanding, recall

AHEAD = timedelta(days=7)
"""A slip within the next week is what a drill today can prevent."""
CRITICAL = 2.0
"""A slip at a critical item counts as much as this many at another. Our choice."""
NEW_RISK = 0.25
"""Risk of an item that was never met: above one known well, below one that goes wrong."""
MOST_NEW = 10
"""Items never met in one drill, once there are others."""
FIRST_NEW = 15
"""The same for a person with no journal yet."""
SLOW_FROM = 1.2
"""Reply time over the usual one from which an item counts as slow."""
SLOW_RISK = 0.35
"""Risk added for each whole time that a reply takes longer than usual, and at most in all."""


@dataclass(frozen=True, slots=True)
class Pick:
    """One item to practise, and why."""

    entry: Entry
    risk: float
    """Chance of a slip within a week, with something added for being slow; 0 to 1."""
    score: float
    """Risk weighted by how much a slip would matter."""
    weakness: Weakness
    new: bool = False
    due: bool = False
    """The schedule says that it is time."""


def pick(
    entries: Iterable[Entry], known: Mapping[ItemKey, ItemStanding], now: datetime, slots: int
) -> tuple[Pick, ...]:
    """Return at most ``slots`` items, the most worth practising first.

    New ones are few, so that they do not crowd out what goes wrong; what was right in a drill
    within the last twelve hours comes last.
    """
    found = [_new(entry) if entry.key not in known else _met(entry, known[entry.key], now)
             for entry in {entry.key: entry for entry in entries}.values()]  # fmt: skip
    ordered = sorted(found, key=lambda p: (_done_today(p, known, now), -p.score, p.entry.place))
    met = [p for p in ordered if not p.new]
    new = [p for p in ordered if p.new][: MOST_NEW if met else FIRST_NEW]
    allowed = {id(p) for p in (*met, *new)}
    return tuple(p for p in ordered if id(p) in allowed)[:slots]


def _new(entry: Entry) -> Pick:
    return Pick(entry, NEW_RISK, NEW_RISK * _weight(entry), Weakness.NONE, new=True)


def _met(entry: Entry, standing: ItemStanding, now: datetime) -> Pick:
    slip = 1 - recall(standing, now + AHEAD) * (1 - standing.slips)
    slow = min(SLOW_RISK, SLOW_RISK * max(0.0, standing.slowness - SLOW_FROM))
    risk = min(1.0, slip + slow)
    mostly_slow = slow > standing.slips
    weakness = Weakness.SLOW if mostly_slow else standing.weakness
    return Pick(entry, risk, risk * _weight(entry), weakness, due=standing.due <= now)


def _weight(entry: Entry) -> float:
    return CRITICAL if entry.item.critical else 1.0


def _done_today(pick: Pick, known: Mapping[ItemKey, ItemStanding], now: datetime) -> bool:
    standing = known.get(pick.entry.key)
    drilled = standing.drilled if standing else None
    return drilled is not None and now - drilled < timedelta(hours=12)
