"""Where a person stands at each item, worked out anew from all reviews.

Nothing is kept between runs: the same journals give the same schedule on any machine. How memory
fades is the published model of the ``fsrs`` package, as it comes. Chance ("fuzz") is off, and
identity and time are always given: its card reads the clock when they are not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from fsrs import Card as Memory
from fsrs import Rating, Scheduler

from callout.core.drill.entries import ItemKey
from callout.core.drill.evidence import Grade, Kind, Review, Weakness, middle, usual_seconds

RETENTION = 0.9
"""Chance of still knowing an item at which it falls due; the package's own default."""
HALF_LIFE_DAYS = 60.0
"""After this a slip counts half: people change."""
PRIOR = 5.0
"""A new item is taken to be like the person's others, with the weight of this many meetings."""
TIMES_LOOKED_AT = 12
"""Latest reply times that tell whether an item is slow."""
TIMES_NEEDED = 5

_RATINGS = {Grade.MISSED: Rating.Again, Grade.DOUBTFUL: Rating.Hard, Grade.RIGHT: Rating.Good}


@dataclass(frozen=True, slots=True)
class ItemStanding:
    """Where a person stands at one item."""

    key: ItemKey
    met: int
    last: datetime
    due: datetime
    stability: float
    """Days after which it is still known with a chance of 90 %."""
    difficulty: float
    """1 to 10."""
    slips: float
    """Share of the meetings that went wrong, recent ones counting more, drawn towards the
    person's usual share."""
    slowness: float
    """Reply time over the person's usual one; 1 where it is not known."""
    weakness: Weakness
    """What went wrong most, recent ones counting more."""
    drilled: datetime | None = None
    """When it was last right in a drill."""


def scheduler() -> Scheduler:
    """Return the model as it is used here: whole days, no chance in it."""
    return Scheduler(
        desired_retention=RETENTION, learning_steps=(), relearning_steps=(), enable_fuzzing=False
    )


def standings(
    reviews: Sequence[Review], now: datetime, is_value: Kind
) -> dict[ItemKey, ItemStanding]:
    """Return where a person stands, from reviews in order of time (see ``merged``).

    Reviews after ``now`` (a clock that went wrong) count as if they were made now.
    """
    by_key: dict[ItemKey, list[Review]] = {}
    for review in reviews:
        by_key.setdefault(review.key, []).append(review)
    usual = usual_seconds(reviews, is_value)
    base = _share(reviews, now, 0.0)
    model = scheduler()
    return {
        key: _standing(found, now, model, base, usual.get(is_value(key)))
        for key, found in by_key.items()
    }


def recall(standing: ItemStanding, at: datetime) -> float:
    """Return the chance that the item is still known at ``at``."""
    memory = Memory(
        card_id=1,
        stability=standing.stability,
        difficulty=standing.difficulty,
        due=standing.due,
        last_review=standing.last,
    )
    return float(scheduler().get_card_retrievability(memory, at.astimezone(UTC)))


def _standing(
    reviews: list[Review],
    now: datetime,
    model: Scheduler,
    base: float,
    usual: float | None,
) -> ItemStanding:
    memory = Memory(card_id=1, due=_utc(reviews[0].at, now))
    for review in reviews:
        at = _utc(review.at, now)
        memory, _ = model.review_card(memory, _RATINGS[review.grade], at)
    assert memory.last_review is not None
    assert memory.stability is not None
    assert memory.difficulty is not None
    drilled = [r.at for r in reviews if r.drill and r.grade is not Grade.MISSED]
    return ItemStanding(
        key=reviews[0].key,
        met=len(reviews),
        last=memory.last_review,
        due=memory.due,
        stability=memory.stability,
        difficulty=memory.difficulty,
        slips=_share(reviews, now, base, PRIOR),
        slowness=_slowness(reviews, usual),
        weakness=_weakness(reviews, now),
        drilled=max(drilled, default=None),
    )


def _utc(at: datetime, now: datetime) -> datetime:
    return min(at, now).astimezone(UTC)


def _weight(review: Review, now: datetime) -> float:
    days = max(0.0, (now - review.at) / timedelta(days=1))
    return float(0.5 ** (days / HALF_LIFE_DAYS))


def _share(reviews: Iterable[Review], now: datetime, base: float, prior: float = 0.0) -> float:
    total, wrong = prior, prior * base
    for review in reviews:
        weight = _weight(review, now)
        total += weight
        wrong += weight * (review.grade is not Grade.RIGHT)
    return wrong / total if total else 0.0


def _slowness(reviews: Sequence[Review], usual: float | None) -> float:
    times = [r.seconds for r in reviews if r.seconds is not None and not r.drill]
    if usual is None or len(times) < TIMES_NEEDED or usual <= 0:
        return 1.0
    return middle(times[-TIMES_LOOKED_AT:]) / usual


def _weakness(reviews: Iterable[Review], now: datetime) -> Weakness:
    counts: Mapping[Weakness, float] = {}
    for review in reviews:
        if review.weakness is not Weakness.NONE:
            before = counts.get(review.weakness, 0.0)
            counts = {**counts, review.weakness: before + _weight(review, now)}
    return max(counts, key=lambda w: (counts[w], w.value), default=Weakness.NONE)
