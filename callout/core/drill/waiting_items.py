"""Do drills help? Some items wait at random, and later flights show the difference.

The draw itself happens outside the core; this module decides who takes part, for how long, and what
the outcome was.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from callout.core.drill.entries import ItemKey
from callout.core.drill.evidence import Grade, Review
from callout.core.drill.picking import Pick
from callout.core.model.counting import counted_noun
from callout.core.model.intervals import difference_interval
from callout.core.sentences import drill as sentences

SHARE = 0.125
"""Share of the participating items that wait: enough to tell, few enough to bear."""
MOST_WAITING = 5
RISKIEST = 0.2
"""Items that would go wrong more often than this never wait; nor do critical ones."""
LASTS = timedelta(days=14)
"""Nothing waits longer; a later flight says nothing about the drill."""


@dataclass(frozen=True, slots=True)
class Lot:
    """The draw for one item at one drill."""

    key: ItemKey
    waits: bool


@dataclass(frozen=True, slots=True)
class Drawn:
    """A draw and its date."""

    at: datetime
    lot: Lot


@dataclass(frozen=True, slots=True)
class Outcome:
    """How items went in the first flight after their draw."""

    drilled: int
    """Items that were drilled and then met in that flight."""
    drilled_wrong: int
    waited: int
    """Items that waited and were then met in it."""
    waited_wrong: int

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval of the share of slips that drills prevent."""
        return difference_interval(
            (self.waited_wrong, self.waited), (self.drilled_wrong, self.drilled)
        )


def open_lots(drawn: Iterable[Drawn], reviews: Sequence[Review], now: datetime) -> list[Lot]:
    """Return draws that no flight has tested yet."""
    flown = {r.key: r.at for r in reviews if not r.drill}
    return [
        one.lot
        for one in _last(drawn).values()
        if now - one.at <= LASTS and not (one.lot.key in flown and flown[one.lot.key] > one.at)
    ]


def draw_waiting(
    picks: Iterable[Pick],
    still: Sequence[Lot],
    reviews: Sequence[Review],
    now: datetime,
    chances: Iterator[float],
) -> tuple[Lot, ...]:
    """Draw for the picks that take part. chances: numbers from 0 to 1, drawn outside.

    Nothing is drawn for somebody who has not flown lately: no flight would test it.
    """
    if not any(now - r.at <= LASTS for r in reversed(reviews) if not r.drill):
        return ()
    taken = {lot.key for lot in still}
    places = MOST_WAITING - sum(lot.waits for lot in still)
    found = []
    for pick in picks:
        if _takes_part(pick) and pick.entry.key not in taken and places > 0:
            waits = next(chances) < SHARE
            places -= waits
            found.append(Lot(pick.entry.key, waits))
    return tuple(found)


def lot_outcome(drawn: Iterable[Drawn], reviews: Sequence[Review]) -> Outcome:
    """Return how items went in the first flight after each draw, drilled or not."""
    flights: dict[ItemKey, list[Review]] = {}
    for review in reviews:
        if not review.drill:
            flights.setdefault(review.key, []).append(review)
    counts = {(waits, wrong): 0 for waits in (True, False) for wrong in (True, False)}
    for one in drawn:
        later = (r for r in flights.get(one.lot.key, ()) if timedelta(0) < r.at - one.at <= LASTS)
        first = next(later, None)
        if first is not None:
            counts[one.lot.waits, first.grade is Grade.MISSED] += 1
    return Outcome(
        drilled=counts[False, True] + counts[False, False],
        drilled_wrong=counts[False, True],
        waited=counts[True, True] + counts[True, False],
        waited_wrong=counts[True, True],
    )


def outcome_lines(found: Outcome) -> list[str]:
    """Return what the draws show so far, with the uncertainty; empty before the first result."""
    if not found.waited or not found.drilled:
        return []
    low, high = found.interval
    line = sentences.slips_in_flights(
        found.drilled_wrong, found.drilled, found.waited_wrong, counted_noun(found.waited, "time")
    )
    span = f"between {100 * low:+.0f} and {100 * high:+.0f} slips in 100 meetings (95 %)"
    if low > 0:
        return [line, sentences.drills_help(span)]
    if high < 0:
        return [line, sentences.drills_do_not_help(span)]
    return [line, sentences.too_few_flights(span)]


def _takes_part(pick: Pick) -> bool:
    usable = not pick.new and not pick.owed and not pick.entry.item.critical
    return usable and pick.risk <= RISKIEST


def _last(drawn: Iterable[Drawn]) -> dict[ItemKey, Drawn]:
    return {one.lot.key: one for one in sorted(drawn, key=lambda one: one.at)}
