"""A minute goes where it prevents most slips; two personal numbers; a risk that comes true."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

import pytest
from scipy import integrate

from callout.core.drill.entries import Page, entries_of
from callout.core.drill.evidence import Grade, Review, merged_reviews
from callout.core.drill.personal import (
    Meeting,
    Personal,
    days_saved,
    fit_person,
    forgetting_curve,
    item_lapse,
)
from callout.core.drill.picking import LEFT_ALONE, OWED, pick_items
from callout.core.drill.schedule import item_standings
from tests.core.session_kit import item, plan

DAY = timedelta(days=1)
BEGAN = datetime(2031, 1, 1, 9, tzinfo=UTC)


@pytest.mark.parametrize("speed", [0.3, 1.0, 1 / forgetting_curve()[0], 4.0])
@pytest.mark.parametrize("days", [0.0, 0.5, 7.0, 90.0])
def test_what_a_drill_is_worth_is_the_area_over_the_curve(speed: float, days: float) -> None:
    """The closed form against numerical integration (scipy.integrate.quad)."""
    decay, factor = forgetting_curve()

    def known(t: float) -> float:
        return float((1 + factor * t / 12.0) ** (-decay * speed))

    area, _ = integrate.quad(known, 0, days)
    assert days_saved(12.0, days, Personal(speed)) == pytest.approx(
        area - days * known(days), abs=1e-9
    )


@pytest.mark.parametrize(("speed", "lapse"), [(0.5, 0.01), (1.0, 0.05), (2.5, 0.02)])
def test_planted_numbers_of_a_person_are_found_again(speed: float, lapse: float) -> None:
    chance, truth = random.Random(4), Personal(speed, lapse)
    meetings = []
    for _ in range(6000):
        recall = chance.uniform(0.4, 1.0)
        meetings.append(Meeting(recall, chance.random() < truth.risk(recall, lapse), 1.0))
    found = fit_person(meetings)
    assert found.speed == pytest.approx(speed, rel=0.2)
    assert found.lapse == pytest.approx(lapse, abs=0.02)


def test_nothing_known_gives_what_is_usual() -> None:
    assert fit_person([]) == fit_person([Meeting(0.98, False, 0.01)])
    assert fit_person([]).speed == 1.0


def test_slips_long_after_say_little_of_lapses() -> None:
    person = Personal(1.0, 0.02)
    forgotten = [Meeting(0.3, n % 2 == 0, 1.0) for n in range(20)]
    known = [Meeting(1.0, n % 2 == 0, 1.0) for n in range(20)]
    assert item_lapse(forgotten, person) < 0.1 < 0.3 < item_lapse(known, person)


def _standings(reviews: list[Review], now: datetime):  # type: ignore[no-untyped-def]
    return item_standings(merged_reviews(reviews), now, lambda key: False)


def test_a_hopeless_item_does_not_crowd_out_the_others() -> None:
    """One item goes wrong each day, forty others fade: the highest risk is not the most worth."""
    many = list(entries_of([Page("S", plan(items=tuple(
        item(f"i{n}", f"Item {n}", "on") for n in range(41))))]))  # fmt: skip
    reviews = [Review(e.key, BEGAN, Grade.RIGHT, "s", n) for n, e in enumerate(many)]
    met: dict[str, int] = {}
    for day in range(1, 13):
        now = BEGAN + DAY * day
        for n, one in enumerate(pick_items(many, _standings(reviews, now), now, 8)):
            hopeless = one.entry.key == many[0].key
            grade = Grade.MISSED if hopeless else Grade.RIGHT
            reviews.append(Review(one.entry.key, now, grade, f"d{day}", n, drill=True))
            met[one.entry.key.item_id] = met.get(one.entry.key.item_id, 0) + 1
    assert len(met) == 41


def test_what_was_left_alone_for_weeks_is_owed_a_place() -> None:
    many = list(entries_of([Page("S", plan(items=tuple(
        item(f"i{n}", f"Item {n}", "on", critical=n >= 4) for n in range(60))))]))  # fmt: skip
    alone, met = many[:4], many[4:]
    reviews = [
        Review(e.key, BEGAN + DAY * d, Grade.RIGHT, f"a{d}", n)
        for d in (0, 30, 60, 120)
        for n, e in enumerate(alone)
    ]
    now = BEGAN + DAY * 124 + LEFT_ALONE
    reviews += [
        Review(e.key, now - DAY * d, Grade.MISSED, f"m{d}", n)
        for d in (20, 10, 5)
        for n, e in enumerate(met)
    ]
    found = pick_items(many, _standings(reviews, now), now, 20)
    assert len(found) == 20
    assert {e.key for e in alone} <= {p.entry.key for p in found if p.owed}
    assert sum(p.owed for p in found) <= OWED * 20
