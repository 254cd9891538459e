"""How well a person knows each item, computed from all reviews each time.

Nothing is stored between runs: the same journals give the same schedule on any machine. Memory is
modelled by the ``fsrs`` package as published. Its randomness ("fuzz") is off, and identity and time
are always given, since its card would otherwise read the clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from fsrs import Card as Memory
from fsrs import Rating, Scheduler

from callout.core.drill.calibrating import (
    Correction,
    SlipHistory,
    fit_correction,
    outcomes_of,
)
from callout.core.drill.entries import ItemKey
from callout.core.drill.evidence import Grade, Kind, Review, Weakness, lower_median, usual_seconds
from callout.core.drill.personal import (
    PRIOR,
    Meeting,
    Personal,
    fit_person,
    item_lapse,
)

RETENTION = 0.9
"""Probability of still knowing an item when it falls due; the package's own default."""
HALF_LIFE_DAYS = 60.0
"""After this many days a slip counts half: people change."""
TIMES_LOOKED_AT = 12
"""Number of latest reply times that decide whether an item is slow."""
TIMES_NEEDED = 5
SECONDS_EACH = 15.0
"""Duration of one exercise, including its challenge and its repeats."""

_RATINGS = {Grade.MISSED: Rating.Again, Grade.DOUBTFUL: Rating.Hard, Grade.RIGHT: Rating.Good}


@dataclass(frozen=True, slots=True)
class ItemStanding:
    """How well a person knows one item."""

    key: ItemKey
    met: int
    """Times the item was met, in sessions and drills."""
    last: datetime
    due: datetime
    stability: float
    """Days after which it is still known with a probability of 90 %."""
    difficulty: float
    """1 to 10."""
    lapse: float
    """Share of slips while it is known, recent meetings counting more, shrunk towards the person's
    usual share.
    """
    person: Personal
    correction: Correction
    history: SlipHistory
    slowness: float
    """Reply time relative to the person's usual one; 1 if unknown."""
    hasty: float
    """Share of meetings answered without a look."""
    seconds: float
    """Duration of an exercise of it, shrunk towards the usual one."""
    weakness: Weakness
    """What went wrong most, recent slips counting more."""
    drilled: datetime | None = None
    """When it was last right in a drill."""


def memory_model() -> Scheduler:
    """Return the model as used here: whole days, no randomness."""
    return Scheduler(
        desired_retention=RETENTION, learning_steps=(), relearning_steps=(), enable_fuzzing=False
    )


@dataclass(frozen=True, slots=True)
class Trace:
    """What is remembered about one item after some reviews."""

    memory: Memory
    recalls: tuple[float, ...]
    """Probability that it was still known before each review; 1 before the first."""


def item_standings(
    reviews: Sequence[Review],
    now: datetime,
    is_value: Kind,
    traces: dict[ItemKey, Trace] | None = None,
) -> dict[ItemKey, ItemStanding]:
    """Return the standing at each item, from reviews in time order (see ``merged``).

    Reviews after ``now`` (from a wrong clock) count as if made now. traces: of the first of these
    reviews; they are continued and updated.
    """
    by_key: dict[ItemKey, list[Review]] = {}
    for review in reviews:
        by_key.setdefault(review.key, []).append(review)
    usual = usual_seconds(reviews, is_value)
    model, known = memory_model(), {} if traces is None else traces
    for key, found in by_key.items():
        known[key] = _traced(found, now, model, known.get(key))
    met = {key: _meetings(found, known[key], now) for key, found in by_key.items()}
    person = fit_person(meeting for found in met.values() for meeting in found)
    correction = fit_correction(outcomes_of(met.values(), person))
    whole = _Whole(person, correction, now)
    return {
        key: _item_standing(found, known[key], met[key], whole, usual.get(is_value(key)))
        for key, found in by_key.items()
    }


@dataclass(frozen=True, slots=True)
class _Whole:
    """What all reviews together say."""

    person: Personal
    correction: Correction
    now: datetime


def recall_chance(standing: ItemStanding, at: datetime) -> float:
    """Return the published probability that the item is still known at ``at``."""
    memory = Memory(
        card_id=1,
        stability=standing.stability,
        difficulty=standing.difficulty,
        due=standing.due,
        last_review=standing.last,
    )
    return float(memory_model().get_card_retrievability(memory, at.astimezone(UTC)))


def slip_risk(standing: ItemStanding, at: datetime) -> float:
    """Return the chance that this person slips if the item is asked at ``at``."""
    model = standing.person.risk(recall_chance(standing, at), standing.lapse)
    days = _days_between(standing.last, at)
    return standing.correction.of(standing.history.foretold(model, days, drill=True))


def _traced(reviews: list[Review], now: datetime, model: Scheduler, so_far: Trace | None) -> Trace:
    memory = so_far.memory if so_far else Memory(card_id=1, due=_utc_within(reviews[0].at, now))
    recalls = list(so_far.recalls) if so_far else []
    for review in reviews[len(recalls) :]:
        at = _utc_within(review.at, now)
        known = model.get_card_retrievability(memory, at) if memory.last_review else 1.0
        recalls.append(float(known))
        memory, _ = model.review_card(memory, _RATINGS[review.grade], at)
    return Trace(memory, tuple(recalls))


def _meetings(reviews: list[Review], trace: Trace, now: datetime) -> list[Meeting]:
    rows = zip(reviews, [reviews[0], *reviews], trace.recalls, strict=False)
    return [
        Meeting(
            known,
            review.grade is Grade.MISSED,
            _review_weight(review, now),
            review.drill,
            _days_between(before.at, review.at),
        )
        for review, before, known in rows
    ]


def _item_standing(
    reviews: list[Review],
    trace: Trace,
    meetings: Sequence[Meeting],
    whole: _Whole,
    usual: float | None,
) -> ItemStanding:
    memory = trace.memory
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
        lapse=item_lapse(meetings, whole.person),
        person=whole.person,
        correction=whole.correction,
        history=SlipHistory.of(meetings),
        slowness=_reply_slowness(reviews, usual),
        hasty=_hasty(reviews, meetings),
        seconds=_seconds(reviews),
        weakness=_likeliest_weakness(reviews, whole.now),
        drilled=max(drilled, default=None),
    )


def _utc_within(at: datetime, now: datetime) -> datetime:
    return min(at, now).astimezone(UTC)


def _review_weight(review: Review, now: datetime) -> float:
    return float(0.5 ** (_days_between(review.at, now) / HALF_LIFE_DAYS))


def _days_between(one: datetime, other: datetime) -> float:
    return max(0.0, (other - one) / timedelta(days=1))


def _hasty(reviews: Sequence[Review], meetings: Sequence[Meeting]) -> float:
    weights = [m.weight for m in meetings]
    pairs = zip(reviews, weights, strict=True)
    return sum(w for r, w in pairs if r.weakness is Weakness.FAST) / (PRIOR + sum(weights))


def _seconds(reviews: Sequence[Review]) -> float:
    times = [r.took for r in reviews if r.took is not None]
    return (PRIOR * SECONDS_EACH + sum(times)) / (PRIOR + len(times))


def _reply_slowness(reviews: Sequence[Review], usual: float | None) -> float:
    times = [r.seconds for r in reviews if r.seconds is not None and not r.drill]
    if usual is None or len(times) < TIMES_NEEDED or usual <= 0:
        return 1.0
    return lower_median(times[-TIMES_LOOKED_AT:]) / usual


def _likeliest_weakness(reviews: Iterable[Review], now: datetime) -> Weakness:
    counts: Mapping[Weakness, float] = {}
    for review in reviews:
        if review.weakness is not Weakness.NONE:
            before = counts.get(review.weakness, 0.0)
            counts = {**counts, review.weakness: before + _review_weight(review, now)}
    return max(counts, key=lambda w: (counts[w], w.value), default=Weakness.NONE)
