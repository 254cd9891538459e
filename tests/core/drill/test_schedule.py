"""The schedule: the published model as it comes, and the same from any split of the journals."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

import fsrs.card
import fsrs.scheduler
import pytest
from fsrs import Card as Memory
from fsrs import Rating, Scheduler
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.drill.entries import ItemKey, Page, entries_of
from callout.core.drill.evidence import Grade, Review, Weakness, merged_reviews
from callout.core.drill.picking import FIRST_NEW, MOST_NEW, pick_items
from callout.core.drill.schedule import item_standings, recall_chance
from tests.core.drill.drill_kit import entries
from tests.core.session_kit import item, plan

DAY = timedelta(days=1)
BEGAN = datetime(2031, 1, 1, 9, tzinfo=UTC)
KEYS = [entry.key for entry in entries()]


def _review(
    day: float, grade: Grade = Grade.RIGHT, key: ItemKey = KEYS[0], **facts: object
) -> Review:
    origin = str(facts.pop("origin", f"s{day}"))
    return Review(key, BEGAN + DAY * day, grade, origin, 0, **facts)  # type: ignore[arg-type]


def _standing(*reviews: Review, now: float = 100.0):  # type: ignore[no-untyped-def]
    return item_standings(merged_reviews(reviews), BEGAN + DAY * now, lambda key: False)[KEYS[0]]


def test_the_package_gives_its_published_intervals() -> None:
    """py-fsrs, tests/test_basic.py, test_review_card (version 6): the default scheduler without
    fuzz gives these days between reviews (from memory; a change of the model would show)."""
    ratings = [Rating.Good] * 6 + [Rating.Again] * 2 + [Rating.Good] * 5
    model, at = Scheduler(enable_fuzzing=False), datetime(2022, 11, 29, 12, 30, tzinfo=UTC)
    entry, days = Memory(card_id=1, due=at), []
    for rating in ratings:
        entry, _ = model.review_card(entry, rating, at)
        assert entry.last_review is not None
        days.append((entry.due - entry.last_review).days)
        at = entry.due
    assert days == [0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]


def test_the_first_stability_is_that_of_the_published_weights() -> None:
    """FSRS-6: the stability after the first review is the weight of its grade (w0 to w3)."""
    good = fsrs.scheduler.DEFAULT_PARAMETERS[2]
    again = fsrs.scheduler.DEFAULT_PARAMETERS[0]
    assert _standing(_review(0)).stability == pytest.approx(good)
    assert _standing(_review(0, Grade.MISSED)).stability == pytest.approx(again)


def test_recall_follows_the_published_curve() -> None:
    """FSRS-6: R(t, S) = (1 + f t/S)^-w20 with f = 0.9^(-1/w20) - 1, so R(S, S) = 0.9."""
    standing = _standing(*(_review(n * 30) for n in range(4)))
    w20 = fsrs.scheduler.DEFAULT_PARAMETERS[20]
    factor = 0.9 ** (-1 / w20) - 1
    for days in (0, 1, 7, 50, 400):
        wanted = (1 + factor * days / standing.stability) ** -w20
        assert recall_chance(standing, standing.last + DAY * days) == pytest.approx(wanted)
    exact = standing.last + DAY * round(standing.stability)
    assert recall_chance(standing, exact) == pytest.approx(0.9, abs=0.005)


def test_neither_clock_nor_chance_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """The package reads the clock, sleeps and throws dice unless told everything."""

    class NoClock(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            raise AssertionError("the clock was read")

    def never(*_: object) -> float:
        raise AssertionError("it slept, or threw dice")

    monkeypatch.setattr(fsrs.card, "datetime", NoClock)
    monkeypatch.setattr(fsrs.scheduler, "datetime", NoClock)
    monkeypatch.setattr(fsrs.card.time, "sleep", never)
    monkeypatch.setattr(fsrs.scheduler, "random", never)
    found = _standing(_review(0), _review(1, Grade.MISSED), _review(5), now=9.0)
    assert 0 < recall_chance(found, BEGAN + DAY * 20) < 1


GRADES = st.sampled_from(list(Grade))
REVIEWS = st.lists(
    st.builds(
        lambda day, grade, key, origin, number: Review(
            key, BEGAN + DAY * day, grade, origin, number, seconds=float(number)
        ),
        st.floats(0, 90),
        GRADES,
        st.sampled_from(KEYS),
        st.sampled_from(["s1", "s2", "drill-1", "drill-2"]),
        st.integers(0, 5),
    ),
    max_size=30,
    unique_by=lambda r: (r.origin, r.key, r.number),
)


@settings(deadline=None, max_examples=150)
@given(reviews=REVIEWS, parts=st.integers(1, 4), chance=st.randoms(use_true_random=False))
def test_any_split_merge_and_order_give_the_same(
    reviews: list[Review], parts: int, chance: random.Random
) -> None:
    """Journals cut into parts, some kept twice, put together in any order."""
    pieces: list[list[Review]] = [[] for _ in range(parts)]
    for review in reviews:
        for piece in chance.sample(pieces, chance.randint(1, parts)):
            piece.append(review)
    for piece in pieces:
        chance.shuffle(piece)
    chance.shuffle(pieces)
    again = merged_reviews(review for piece in pieces for review in merged_reviews(piece))
    now = BEGAN + DAY * 91
    assert again == merged_reviews(reviews)
    assert item_standings(again, now, lambda key: key == KEYS[1]) == item_standings(
        merged_reviews(reviews), now, lambda key: key == KEYS[1]
    )


def test_a_slip_shortens_and_success_lengthens() -> None:
    good = _standing(*(_review(n) for n in range(6)))
    slipped = _standing(*(_review(n) for n in range(5)), _review(5, Grade.MISSED))
    hard = _standing(*(_review(n) for n in range(5)), _review(5, Grade.DOUBTFUL))
    assert slipped.due < hard.due < good.due
    assert slipped.lapse > good.lapse


def test_old_slips_count_less_than_new_ones() -> None:
    early = [Grade.MISSED] * 5 + [Grade.RIGHT] * 15
    late = early[::-1]
    found = [_standing(*(_review(n * 6, g) for n, g in enumerate(each)), now=120.0)
             for each in (early, late)]  # fmt: skip
    assert found[0].lapse < found[1].lapse / 2


def test_a_clock_that_went_wrong_does_not_break_it() -> None:
    assert _standing(_review(0), _review(5000), now=10.0).last <= BEGAN + DAY * 10


def test_an_item_slower_than_usual_is_seen() -> None:
    slow = [_review(n, seconds=4.0) for n in range(8)]
    rest = [_review(n, key=KEYS[1], seconds=2.0, origin=f"r{n}") for n in range(30)]
    assert _standing(*slow, *rest).slowness == pytest.approx(2.0)
    assert _standing(*slow[:3], *rest).slowness == 1.0


def test_critical_items_come_before_others_at_the_same_risk() -> None:
    reviews = [_review(n, Grade.MISSED, key, origin=f"{key.item_id}{n}") for key in KEYS
               for n in range(3)]  # fmt: skip
    now = BEGAN + DAY * 4
    found = pick_items(
        entries(), item_standings(merged_reviews(reviews), now, lambda key: False), now, 10
    )
    assert found[0].entry.item.critical
    assert len({round(p.risk, 6) for p in found}) == 1


def test_what_goes_wrong_comes_first_and_says_what() -> None:
    reviews = [_review(n, key=key, origin=f"{key.item_id}{n}") for key in KEYS for n in range(9)]
    reviews += [
        _review(n + 0.5, Grade.MISSED, KEYS[3], weakness=Weakness.OMITTED, origin=f"x{n}")
        for n in range(4, 9)
    ]
    now = BEGAN + DAY * 10
    first = pick_items(
        entries(), item_standings(merged_reviews(reviews), now, lambda key: False), now, 2
    )[0]
    assert (first.entry.key, first.weakness) == (KEYS[3], Weakness.OMITTED)


def test_what_was_right_in_a_drill_today_comes_last() -> None:
    reviews = [_review(n, Grade.MISSED, KEYS[0], origin=f"a{n}") for n in range(5)]
    reviews += [_review(n, key=KEYS[3], origin=f"b{n}") for n in range(5)]
    now = BEGAN + DAY * 6
    known = item_standings(merged_reviews(reviews), now, lambda key: False)
    assert pick_items(entries()[::3], known, now, 2)[0].entry.key == KEYS[0]
    drilled = _review(5.9, key=KEYS[0], drill=True, origin="d")
    known = item_standings(merged_reviews([*reviews, drilled]), now, lambda key: False)
    assert pick_items(entries()[::3], known, now, 2)[-1].entry.key == KEYS[0]
    later = now + DAY
    known = item_standings(merged_reviews([*reviews, drilled]), later, lambda key: False)
    assert pick_items(entries()[::3], known, later, 2)[0].entry.key == KEYS[0]


def test_new_items_are_few() -> None:
    many = plan(items=tuple(item(f"i{n}", f"Item {n}", "on") for n in range(40)))
    new = list(entries_of([Page("S", many)]))
    assert len(pick_items(new, {}, BEGAN, 30)) == FIRST_NEW
    known = item_standings([_review(0, key=new[0].key)], BEGAN + DAY, lambda key: False)
    assert sum(p.new for p in pick_items(new, known, BEGAN + DAY, 30)) == MOST_NEW
