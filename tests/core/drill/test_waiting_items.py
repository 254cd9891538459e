"""Items that wait by lot: who takes part, how long, and what later flights say."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import repeat

import pytest

from callout.core.drill import records as d
from callout.core.drill.evidence import Grade, Review, Weakness
from callout.core.drill.picking import Pick
from callout.core.drill.waiting_items import (
    LASTS,
    MOST_WAITING,
    Drawn,
    Lot,
    Outcome,
    draw_waiting,
    lot_outcome,
    open_lots,
    outcome_lines,
)
from callout.core.keeping.record_codec import from_plain, to_plain
from callout.core.model.intervals import difference_interval
from tests.core.drill.drill_kit import entries

NOW = datetime(2031, 6, 1, 9, tzinfo=UTC)
DAY = timedelta(days=1)
KEYS = [entry.key for entry in entries()]


def _flown(number: int, day: float, grade: Grade = Grade.RIGHT) -> Review:
    return Review(KEYS[number], NOW + DAY * day, grade, f"s{day}", number)


def _picks(**facts: object) -> list[Pick]:
    return [Pick(e, 0.1, 1.0, Weakness.NONE, **facts) for e in entries()]  # type: ignore[arg-type]


def _always(chance: float) -> Iterator[float]:
    return repeat(chance)


def test_critical_new_owed_and_risky_items_never_wait() -> None:
    lately = [_flown(0, -1)]
    usable = [e.key for e in entries() if not e.item.critical]
    assert [lot.key for lot in draw_waiting(_picks(), (), lately, NOW, _always(0.0))] == usable
    assert all(lot.waits for lot in draw_waiting(_picks(), (), lately, NOW, _always(0.0)))
    assert not any(lot.waits for lot in draw_waiting(_picks(), (), lately, NOW, _always(0.9)))
    for none in (_picks(new=True), _picks(owed=True)):
        assert draw_waiting(none, (), lately, NOW, _always(0.0)) == ()
    risky = [Pick(e, 0.5, 1.0, Weakness.NONE) for e in entries()]
    assert draw_waiting(risky, (), lately, NOW, _always(0.0)) == ()


def test_nothing_is_drawn_when_no_flight_would_answer() -> None:
    assert draw_waiting(_picks(), (), [], NOW, _always(0.0)) == ()
    assert draw_waiting(_picks(), (), [_flown(0, -30)], NOW, _always(0.0)) == ()


def test_few_wait_at_once_and_an_open_lot_is_not_drawn_again() -> None:
    lately = [_flown(0, -1)]
    full = [Lot(KEYS[0], True)] * MOST_WAITING
    assert draw_waiting(_picks(), full, lately, NOW, _always(0.0)) == ()
    usable = [e.key for e in entries() if not e.item.critical]
    again = draw_waiting(_picks(), [Lot(usable[0], False)], lately, NOW, _always(0.0))
    assert usable[0] not in {lot.key for lot in again}


def test_a_flight_or_two_weeks_end_the_wait() -> None:
    drawn = [Drawn(NOW, Lot(KEYS[0], True)), Drawn(NOW, Lot(KEYS[1], True))]
    assert len(open_lots(drawn, [_flown(0, -1)], NOW + DAY)) == 2
    still = open_lots(drawn, [_flown(0, 1)], NOW + DAY * 2)
    assert [lot.key for lot in still] == [KEYS[1]]
    assert open_lots(drawn, [], NOW + LASTS + DAY) == []


def test_the_first_flight_after_the_lot_counts_and_only_that() -> None:
    drawn = [Drawn(NOW, Lot(KEYS[n], n % 2 == 0)) for n in range(4)]
    drilled = Review(KEYS[0], NOW + DAY, Grade.RIGHT, "d1", 0, drill=True)
    flights = [
        _flown(0, -1, Grade.MISSED),
        drilled,
        _flown(0, 2, Grade.MISSED),
        _flown(1, 2),
        _flown(0, 3),
        _flown(2, 20, Grade.MISSED),
    ]
    assert lot_outcome(drawn, flights) == Outcome(1, 0, 1, 1)


def test_the_interval_is_the_published_one() -> None:
    """Newcombe, Statistics in Medicine 17:873-890 (1998), table II: 56/70 and 48/80 give
    0.0524 to 0.3339 by method 10 (from memory)."""
    found = Outcome(drilled=80, drilled_wrong=48, waited=70, waited_wrong=56)
    assert found.interval == pytest.approx((0.0524, 0.3339), abs=5e-5)
    assert found.interval == difference_interval((56, 70), (48, 80))


def test_it_says_how_sure_that_is() -> None:
    assert outcome_lines(Outcome(0, 0, 3, 1)) == []
    assert "too little data to tell" in outcome_lines(Outcome(10, 1, 4, 1))[1]
    assert "Drills help you" in outcome_lines(Outcome(300, 6, 100, 20))[1]
    assert "more often" in outcome_lines(Outcome(100, 30, 100, 2))[1]


def test_lots_are_kept_and_journals_without_them_are_read() -> None:
    began = d.DrillBegan(seq=0, utc=NOW, at=0.0, drill_id="d", exercises=(), minutes=5.0,
                         lots=(Lot(KEYS[0], True),))  # fmt: skip
    plain = to_plain(began)
    assert from_plain(plain) == began
    del plain["lots"]
    before = from_plain(plain)
    assert isinstance(before, d.DrillBegan)
    assert before.lots == ()
