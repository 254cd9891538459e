"""What sessions and drills show about how well an item is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum

from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.deviations import Deviation, lies_in_aircraft
from callout.core.debrief.facts import ItemFact
from callout.core.drill.entries import ItemKey


class Grade(Enum):
    """How well an item went."""

    MISSED = "missed"
    """Wrong, left out, or prompted."""
    DOUBTFUL = "doubtful"
    """Right, but too fast to have looked, or slow."""
    RIGHT = "right"


class Weakness(Enum):
    """What to practise at an item."""

    OMITTED = "skipped"
    WRONG = "answered wrongly"
    FAST = "answered without looking"
    SLOW = "slow"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Review:
    """One time an item was met."""

    key: ItemKey
    at: datetime
    grade: Grade
    origin: str
    """Id of the session or drill."""
    number: int
    """Distinguishes several from one origin."""
    weakness: Weakness = Weakness.NONE
    seconds: float | None = None
    """From the challenge to the reply, if it was right."""
    drill: bool = False
    took: float | None = None
    """Duration of the whole exercise in a drill, in seconds."""


def reviews_of(items: Iterable[ItemFact]) -> Iterator[Review]:
    """Yield what flown lists show; items that were not met show nothing."""
    for item in items:
        found = _item_weakness(item)
        if not item.met or found is None:
            continue
        last = item.heard[-1].at if item.heard else 0.0
        yield Review(
            key=ItemKey(item.aircraft, item.list_id, item.item_id),
            at=item.began + timedelta(seconds=min(max(0.0, last), _LONGEST_S)),
            grade=GRADES[found],
            origin=item.session_id,
            number=item.position,
            weakness=found,
            seconds=item.reply_seconds if found is Weakness.NONE and item.first_time else None,
        )


_LONGEST_S = 86_400.0
GRADES = {
    Weakness.OMITTED: Grade.MISSED,
    Weakness.WRONG: Grade.MISSED,
    Weakness.FAST: Grade.DOUBTFUL,
    Weakness.SLOW: Grade.DOUBTFUL,
    Weakness.NONE: Grade.RIGHT,
}


def _item_weakness(item: ItemFact) -> Weakness | None:
    """Return what went wrong; None if the session shows nothing about the person."""
    if item.skipped and lies_in_aircraft(item.skip_reason):
        return None
    if {Deviation.MISMATCHED, Deviation.NOT_SET} & {*item.deviations}:
        return Weakness.WRONG
    if Deviation.OMITTED in item.deviations:
        return Weakness.OMITTED
    if Deviation.TOO_FAST in item.deviations:
        return Weakness.FAST
    return Weakness.NONE if item.outcome is ItemOutcome.ANSWERED else None


def merged_reviews(reviews: Iterable[Review]) -> list[Review]:
    """Return reviews from any number of machines, without duplicates, in time order.

    The order is total, so any split and any order of the journals gives the same result.
    """
    unique = {(r.origin, r.key, r.number): r for r in sorted(reviews, key=_review_order)}
    return sorted(unique.values(), key=_review_order)


def _review_order(review: Review) -> tuple[datetime, str, ItemKey, int, str]:
    return review.at, review.origin, review.key, review.number, review.grade.value


Kind = Callable[[ItemKey], bool]
"""Says whether an item is answered with a number."""


def usual_seconds(reviews: Iterable[Review], is_value: Kind) -> dict[bool, float]:
    """Return the person's usual reply time in seconds: to states (False) and to numbers (True)."""
    times: dict[bool, list[float]] = {False: [], True: []}
    for review in reviews:
        if review.seconds is not None and not review.drill:
            times[is_value(review.key)].append(review.seconds)
    return {kind: lower_median(found) for kind, found in times.items() if found}


def lower_median(values: list[float]) -> float:
    """Return the median of some values, the lower one of two."""
    return sorted(values)[(len(values) - 1) // 2]
