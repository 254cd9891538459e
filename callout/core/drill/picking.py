"""What to practise now: where a minute prevents most slips, with nothing forgotten."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from callout.core.drill.entries import Entry, ItemKey
from callout.core.drill.evidence import Weakness
from callout.core.drill.personal import days_saved
from callout.core.drill.schedule import SECONDS_EACH, ItemStanding, slip_risk

CRITICAL = 2.0
"""A slip at a critical item counts as this many at another. Our choice."""
NEW_RISK = 0.25
"""Risk of an item that was never met: above a well-known one, below one that goes wrong."""
NEW_DAYS = 7.0
"""Days for which a drill of a new item prevents slips at that risk."""
MOST_NEW = 10
"""Maximum number of new items in one drill, once there are others."""
FIRST_NEW = 15
"""The same for a person without journals."""
SLOW_FROM = 1.2
"""Reply time relative to the usual one from which an item counts as slow."""
SLOW_HABIT = 0.35
"""Habit for each multiple by which a reply exceeds the usual time, and the maximum in all."""
UNDONE, WITHIN_DAYS = 0.1, 7.0
"""A drill removes this share of a habit; its effect counts for this many days. Our choice."""
LEFT_ALONE = timedelta(days=21)
"""An item not met for this long is guaranteed a place."""
OWED = 0.25
"""Share of the places for those, longest unmet first."""


@dataclass(frozen=True, slots=True)
class Pick:
    """One item to practise, and why."""

    entry: Entry
    risk: float
    """Chance of a slip if it were asked now; 0 to 1."""
    score: float
    """What a minute of it prevents: slips times days, a critical one counting twice."""
    weakness: Weakness
    new: bool = False
    due: bool = False
    """It is due by the schedule."""
    owed: bool = False
    """It has not been met for weeks."""


def pick_items(
    entries: Iterable[Entry],
    known: Mapping[ItemKey, ItemStanding],
    now: datetime,
    slots: int,
    waiting: Collection[ItemKey] = (),
) -> tuple[Pick, ...]:
    """Return at most ``slots`` items, the most worth practising first.

    New ones are few, so that they do not crowd out what goes wrong; what was right in a drill
    within the last twelve hours comes last; a quarter of the places go to what was left alone
    for three weeks. waiting: items left out.
    """
    found = [_pick(entry, known.get(entry.key), now)
             for entry in {entry.key: entry for entry in entries}.values()
             if entry.key not in waiting]  # fmt: skip
    ordered = sorted(found, key=lambda p: (_done_today(p, known, now), -p.score, p.entry.place))
    met = [p for p in ordered if not p.new]
    new = [p for p in ordered if p.new][: MOST_NEW if met else FIRST_NEW]
    allowed = {id(p) for p in (*met, *new)}
    return _with_owed([p for p in ordered if id(p) in allowed], known, slots)


def _with_owed(
    ordered: list[Pick], known: Mapping[ItemKey, ItemStanding], slots: int
) -> tuple[Pick, ...]:
    owed = sorted((p for p in ordered if p.owed), key=lambda p: known[p.entry.key].last)
    taken = {p.entry.key for p in owed[: int(OWED * slots)]}
    first = [p for p in ordered if p.entry.key not in taken][: max(0, slots - len(taken))]
    kept = taken | {p.entry.key for p in first}
    return tuple(p for p in ordered if p.entry.key in kept)


def _pick(entry: Entry, standing: ItemStanding | None, now: datetime) -> Pick:
    weight = CRITICAL if entry.item.critical else 1.0
    if standing is None:
        score = weight * NEW_RISK * NEW_DAYS * 60 / SECONDS_EACH
        return Pick(entry, NEW_RISK, score, Weakness.NONE, new=True)
    slow = min(SLOW_HABIT, SLOW_HABIT * max(0.0, standing.slowness - SLOW_FROM))
    saved = (1 - standing.lapse) * days_saved(
        standing.stability, _days(standing.last, now), standing.person
    )
    habit = max(slow, standing.hasty) + max(0.0, standing.lapse - standing.person.lapse)
    since = WITHIN_DAYS if standing.drilled is None else _days(standing.drilled, now)
    saved += UNDONE * habit * min(WITHIN_DAYS, since)
    slips = slip_risk(standing, now)
    return Pick(
        entry,
        slips,
        weight * saved * 60 / standing.seconds,
        Weakness.SLOW if slow > slips else standing.weakness,
        due=standing.due <= now,
        owed=now - standing.last > LEFT_ALONE,
    )


def _days(since: datetime, now: datetime) -> float:
    return max(0.0, (now - since) / timedelta(days=1))


def _done_today(pick: Pick, known: Mapping[ItemKey, ItemStanding], now: datetime) -> bool:
    standing = known.get(pick.entry.key)
    drilled = standing.drilled if standing else None
    return drilled is not None and now - drilled < timedelta(hours=12)
