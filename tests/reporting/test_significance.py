"""Tests and intervals against published worked examples and an independent library."""

from __future__ import annotations

from itertools import permutations
from math import comb

import pytest

pytest.importorskip("scipy")

from callout.core.model.intervals import wilson_interval
from callout.reporting import significance as sig

# Probability that Kendall's S is at least so large with n values in random order: the table of
# Kendall, Rank Correlation Methods (values from memory, proved by enumeration below).
KENDALL = [(4, 6, 0.042), (5, 8, 0.042), (5, 6, 0.117), (6, 11, 0.028), (7, 13, 0.035)]


def _score(values: tuple[float, ...]) -> int:
    pairs = [(a, b) for n, a in enumerate(values) for b in values[n + 1 :]]
    return sum((b > a) - (b < a) for a, b in pairs)


@pytest.mark.parametrize(("n", "score", "p"), KENDALL)
def test_the_published_table_is_what_all_orders_give(n: int, score: int, p: float) -> None:
    orders = [_score(order) for order in permutations(range(n))]
    assert sum(s >= score for s in orders) / len(orders) == pytest.approx(p, abs=5e-4)


def test_the_worked_example_of_a_short_series() -> None:
    """Five values, 5, 6, 11, 8, 10: S = 6, one-sided p = 0.117 (EPA QA/G-9, 2000, box on the
    Mann-Kendall test for small samples; from memory, and proved by the enumeration above)."""
    values = (5.0, 6.0, 11.0, 8.0, 10.0)
    assert _score(values) == 6
    found = sig.kendall_trend(range(5), values)
    assert found.p == pytest.approx(2 * 14 / 120)
    assert found.tau == pytest.approx(6 / 10)
    slopes = sorted((values[j] - values[i]) / (j - i) for i in range(5) for j in range(i + 1, 5))
    assert found.slope == pytest.approx((slopes[4] + slopes[5]) / 2)


@pytest.mark.parametrize("values", [(3.0, 3.0, 2.0, 1.0, 1.0), (0.0, 0.0, 0.0, 1.0, 2.0, 2.0)])
def test_ties_are_dealt_with_by_all_orders(values: tuple[float, ...]) -> None:
    orders = [_score(order) for order in permutations(values)]
    least = min(
        sum(s >= _score(values) for s in orders), sum(s <= _score(values) for s in orders)
    ) / len(orders)
    assert sig.kendall_trend(range(len(values)), values).p == pytest.approx(min(1, 2 * least))


def test_no_change_at_all_is_no_trend() -> None:
    assert sig.kendall_trend(range(6), [2.0] * 6).p == 1.0


@pytest.mark.parametrize(("first", "rest"), [(3, 5), (2, 7), (4, 4)])
def test_hits_that_all_come_first_are_as_unlikely_as_counting_says(first: int, rest: int) -> None:
    shift, p = sig.drift_test([True] * first + [False] * rest)
    assert shift == -1
    assert p == pytest.approx(2 / comb(first + rest, first))
    assert sig.drift_test([False] * rest + [True] * first)[0] == 1
    assert sig.drift_test([True] * 4) == (0.0, 1.0)


def test_the_lady_tasting_tea() -> None:
    """Fisher, The Design of Experiments (1935), ch. 2: three of four right has p = 17/70."""
    assert sig.more_often(3, 4, 1, 4) == pytest.approx(17 / 70)
    assert sig.more_often(4, 4, 0, 4) == pytest.approx(1 / 70)
    assert sig.rates_differ(3, 4, 1, 4) == pytest.approx(34 / 70)


# Benjamini and Hochberg, J. R. Stat. Soc. B 57:289 (1995), section 3.2: fifteen p-values of a
# trial; their procedure rejects the four smallest at 5 %, Bonferroni's the three smallest (values
# from memory).
TRIAL = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719,
    0.6528, 0.7590, 1.0000,
]  # fmt: skip


def test_the_published_trial_with_many_comparisons() -> None:
    assert sum(q <= 0.05 for q in sig.benjamini_hochberg(TRIAL)) == 4
    assert sum(q <= 0.05 for q in sig.holm_adjusted(TRIAL)) == 3


def test_holm_by_hand() -> None:
    """Holm, Scand. J. Stat. 6:65 (1979): smallest p times n, next times n - 1, never falling."""
    assert sig.holm_adjusted([0.01, 0.04, 0.03]) == pytest.approx([0.03, 0.06, 0.06])
    assert sig.holm_adjusted([]) == sig.benjamini_hochberg([]) == []


@pytest.mark.parametrize("ps", [TRIAL, [0.5, 0.01, 0.01, 0.9, 0.02], [0.2], [0.04] * 4])
def test_corrections_agree_with_another_library(ps: list[float]) -> None:
    multi = pytest.importorskip("statsmodels.stats.multitest")
    assert sig.holm_adjusted(ps) == pytest.approx(list(multi.multipletests(ps, method="holm")[1]))
    other = multi.multipletests(ps, method="fdr_bh")[1]
    assert sig.benjamini_hochberg(ps) == pytest.approx(list(other))


@pytest.mark.parametrize(("hits", "total"), [(6, 32), (0, 20), (1, 29), (81, 263), (7, 7)])
def test_wilson_agrees_with_two_other_libraries(hits: int, total: int) -> None:
    from scipy.stats import binomtest

    other = binomtest(hits, total).proportion_ci(0.95, method="wilson")
    assert wilson_interval(hits, total) == pytest.approx((other.low, other.high), abs=1e-9)
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    third = proportion.proportion_confint(hits, total, method="wilson")
    assert wilson_interval(hits, total) == pytest.approx(third, abs=1e-9)


@pytest.mark.parametrize(("n", "low", "high"), [(6, 1, 6), (10, 2, 9), (15, 4, 12), (20, 6, 15)])
def test_the_interval_of_a_median_is_the_published_pair_of_ranks(
    n: int, low: int, high: int
) -> None:
    """Ranks of the 95 % interval: Conover, Practical Nonparametric Statistics (1999), 3.2; here
    proved by the binomial sum: the pair covers at least 95 %, the next inner one does not."""
    found = sig.median_interval([float(x) for x in range(1, n + 1)])
    assert found == (low, high)

    def covered(rank: int) -> float:
        return 1 - 2 * sum(comb(n, k) for k in range(rank)) / 2**n

    assert covered(low) >= 0.95 > covered(low + 1)


def test_too_few_for_an_interval_give_the_range() -> None:
    assert sig.median_interval([2.0, 1.0, 3.0]) == (1.0, 3.0)
