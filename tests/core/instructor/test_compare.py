"""Comparison of trainees: published worked examples, and fairness about small numbers."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import Facts, ItemFact, SessionFact
from callout.core.instructor.compare import (
    Share,
    TraineeStanding,
    compare_trainees,
    newcombe_interval,
    times_of,
    z_for,
)
from callout.core.model.intervals import Z_95, difference_interval, newcombe_p, z_of_many

DAY = datetime(2026, 1, 1, tzinfo=UTC)


@pytest.mark.parametrize(
    ("a", "b", "low", "high"),
    [
        (Share(56, 70), Share(48, 80), 0.0524, 0.3339),
        (Share(9, 10), Share(3, 10), 0.1705, 0.8090),
        (Share(10, 10), Share(0, 20), 0.6791, 1.0),
    ],
)
def test_difference_of_two_shares_is_as_published(
    a: Share, b: Share, low: float, high: float
) -> None:
    """Newcombe, Stat. Med. 17:873-890 (1998), table II, method 10 (from memory, to 4 places)."""
    found = newcombe_interval(a, b, Z_95)
    assert found == pytest.approx((low, high), abs=6e-5)


def test_difference_agrees_with_a_reference_library() -> None:
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    for a, b in ((Share(3, 40), Share(9, 35)), (Share(0, 25), Share(2, 31))):
        low, high = proportion.confint_proportions_2indep(
            a.wrong, a.met, b.wrong, b.met, method="newcomb", compare="diff"
        )
        assert newcombe_interval(a, b, Z_95) == pytest.approx((low, high), abs=1e-9)


@pytest.mark.parametrize(
    ("count", "depth"), [(6, 1), (8, 1), (9, 2), (15, 4), (20, 6), (25, 8), (40, 14)]
)
def test_bounds_of_the_median_are_as_tabled(count: int, depth: int) -> None:
    """Ranks of the 95 % sign-test interval, as in tables for the sign test (from memory):
    6: 1st, 9: 2nd, 15: 4th, 20: 6th, 25: 8th, 40: 14th from either end."""
    times = times_of(float(n) for n in range(1, count + 1))
    assert (times.low, times.high) == (depth, count + 1 - depth)


@pytest.mark.parametrize("count", [6, 7, 50, 499, 500, 501, 2_400, 100_000])
def test_bounds_of_the_median_agree_with_the_binomial(count: int) -> None:
    binom = pytest.importorskip("scipy.stats").binom
    times = times_of(float(n) for n in range(1, count + 1))
    assert times.low == pytest.approx(binom.ppf(0.025, count, 0.5), abs=1 if count > 500 else 0)


def test_five_times_bound_no_median() -> None:
    assert times_of([1.0] * 5).low is None
    assert times_of([]).middle is None


def test_more_comparisons_ask_for_more() -> None:
    assert z_for(1) == pytest.approx(Z_95)
    assert z_for(10) == pytest.approx(2.80703, abs=1e-5)


def test_the_p_is_where_the_interval_ends_at_no_difference() -> None:
    for one, other in (((5, 17), (2, 85)), ((0, 20), (12, 60)), ((9, 10), (1, 10))):
        p = newcombe_p(one, other)
        z = NormalDist().inv_cdf(1 - p / 2)
        low, high = difference_interval(one, other, z)
        assert min(abs(low), abs(high)) < 1e-5
    assert newcombe_p((3, 30), (3, 30)) == pytest.approx(1.0, abs=1e-6)


@given(st.lists(st.floats(1e-9, 1.0), max_size=60))
def test_many_comparisons_are_told_as_benjamini_and_hochberg_have_it(ps: list[float]) -> None:
    """Against statsmodels; for none told, Bonferroni's point."""
    multitest = pytest.importorskip("statsmodels.stats.multitest")
    told = int(multitest.multipletests(ps, 0.05, "fdr_bh")[0].sum()) if ps else 0
    z = z_of_many(ps)
    assert z == pytest.approx(z_for(max(1, len(ps)), 1 - 0.05 * max(1, told)))


def _facts(name: str, outcomes: list[bool], item: str = "beacon") -> Facts:
    """One item a session, wrong where ``outcomes`` says so."""
    items, sessions = [], []
    for n, wrong in enumerate(outcomes):
        began, key = DAY + timedelta(days=n), f"{name}-{n}"
        deviations = (Deviation.MISMATCHED,) if wrong else ()
        items.append(
            ItemFact(
                key, began, name, "S", "before-start", "", item, 0, "Beacon",
                outcome=ItemOutcome.ANSWERED, asked=1, tries=1, reply_seconds=1.0 + n / 10,
                deviations=deviations,
            )
        )  # fmt: skip
        sessions.append(
            SessionFact(key, began, began, name, ending=Ending.COMPLETED, call="complete")
        )
    return Facts(tuple(sessions), tuple(items))


def test_a_clear_difference_is_named_at_the_item_too() -> None:
    groups = {
        "Ada": _facts("Ada", [True] * 20 + [False] * 10),
        "Bo": _facts("Bo", [False] * 30),
        "Cy": _facts("Cy", [True] + [False] * 29),
    }
    found = compare_trainees(groups)
    standings = {row.name: row.standing for row in found.trainees}
    assert standings["Ada"] is TraineeStanding.MORE
    assert standings["Bo"] is TraineeStanding.FEWER
    assert ("Ada", "beacon", TraineeStanding.MORE) in {
        (row.name, row.item_id, row.standing) for row in found.items
    }
    assert found.item_comparisons == 3


def test_few_items_are_not_compared_however_different() -> None:
    found = compare_trainees({"Ada": _facts("Ada", [True] * 5), "Bo": _facts("Bo", [False] * 60)})
    assert {row.standing for row in found.trainees} == {TraineeStanding.TOO_FEW}
    assert not found.items


def test_chance_alone_shows_no_difference() -> None:
    half = [n % 5 == 0 for n in range(40)]
    found = compare_trainees({"Ada": _facts("Ada", half), "Bo": _facts("Bo", half[1:] + half[:1])})
    assert {row.standing for row in found.trainees} == {TraineeStanding.NO_DIFFERENCE}


def test_one_trainee_is_compared_with_nobody() -> None:
    (row,) = compare_trainees({"Ada": _facts("Ada", [False] * 30)}).trainees
    assert row.standing is TraineeStanding.ALONE
    assert row.share == Share(0, 30)
    assert row.completed == 30


def test_items_never_put_to_the_trainee_do_not_count() -> None:
    facts = _facts("Ada", [False] * 3)
    gone = ItemFact(
        "x", DAY, "Ada", "S", "l", "", "i", 0, "C", outcome=ItemOutcome.NOT_APPLICABLE, asked=0
    )
    (row,) = compare_trainees({"Ada": Facts(facts.sessions, (*facts.items, gone))}).trainees
    assert row.share.met == 3
