"""The model of change against an independent library, and against truths that are known."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("scipy")
pytest.importorskip("statsmodels")

import statsmodels.api as statsmodels
from scipy import stats

from callout.bench.truths import cell, made_up, shares
from callout.core.debrief.rates import clustered_rate
from callout.core.model.intervals import t_95, wilson_interval
from callout.reporting import significance as sig
from callout.reporting.hierarchy import Meetings, slope_of


def _one_item(sessions: int = 200, logistic: bool = True) -> Meetings:
    chance = np.random.default_rng(5)
    days = np.repeat(np.linspace(0, 1, sessions), 3)
    drift = np.repeat(chance.normal(0, 0.7, sessions), 3)
    line = -1.0 + 1.2 * (days - 0.5) + drift
    happened = chance.random(len(days)) < 1 / (1 + np.exp(-line))
    values = happened.astype(float) if logistic else line + chance.normal(0, 1, len(days))
    nothing = np.zeros(len(days), dtype=int)
    return Meetings(values, days, nothing, nothing, np.repeat(np.arange(sessions), 3))


@pytest.mark.parametrize("logistic", [True, False])
def test_one_item_gives_what_generalised_estimating_equations_give(logistic: bool) -> None:
    """statsmodels, GEE with independent working correlation and bias-reduced errors (Mancl and
    DeRouen), which are the ones of a session left out."""
    made = _one_item(logistic=logistic)
    family = statsmodels.families.Binomial() if logistic else statsmodels.families.Gaussian()
    x = np.column_stack([np.ones(len(made.days)), made.days - made.days.mean()])
    wanted = statsmodels.GEE(made.happened, x, groups=made.sessions, family=family).fit(
        cov_type="bias_reduced"
    )
    found = slope_of(made, logistic=logistic)
    assert found is not None
    assert found.change == pytest.approx(wanted.params[1], rel=0.01)
    assert found.error == pytest.approx(wanted.bse[1], rel=0.03)


def test_nothing_that_varies_gives_no_slope_instead_of_a_slope_of_nothing() -> None:
    made = _one_item()
    assert slope_of(Meetings(0 * made.happened, made.days, made.items, made.lists,
                             made.sessions)) is None  # fmt: skip
    assert slope_of(Meetings(made.happened, 0 * made.days, made.items, made.lists,
                             made.sessions)) is None  # fmt: skip


def test_few_slips_give_a_wide_interval() -> None:
    year = made_up("nothing", 0.0, 12, 3)
    found = slope_of(year.meetings)
    assert found is not None
    assert found.low < -1 < 1 < found.high
    assert found.least() > 1


def test_what_was_practised_when_is_no_change() -> None:
    """Forty persons with easy lists first and hard ones later: before, most are told so."""
    told = cell("easy lists first", 0.0, 40, 60)
    now, before = (float(told.split(f"{name} false ")[1].split(" %")[0])
                   for name in ("now", "before"))  # fmt: skip
    assert now <= 10.0
    assert before >= 50.0


def test_a_true_change_is_found_with_its_sign() -> None:
    told = cell("gets better", 0.5, 30, 150)
    assert float(told.split("now false ")[1].split(" %")[0]) == 0.0
    assert float(told.split("found ")[1].split(" %")[0]) >= 60.0


def test_a_share_takes_sessions_whole() -> None:
    alone = [(str(n), n % 4 == 0) for n in range(40)]
    assert clustered_rate(alone).interval == wilson_interval(10, 40)
    alike = [(str(n // 10), n < 10) for n in range(40)]
    low, high = clustered_rate(alike).interval
    assert low < 0.03 < wilson_interval(10, 40)[0]
    assert high > 0.7 > wilson_interval(10, 40)[1]
    assert "hold now" in "".join(shares(1.0, 3, 20))


@pytest.mark.parametrize("freedom", [1, 2, 3, 5, 10, 30, 200])
def test_the_quantile_is_that_of_scipy(freedom: int) -> None:
    assert t_95(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=5e-3)


def test_groups_of_whole_sessions_differ_less_than_single_trials() -> None:
    one = [(5, 5), (0, 5), (5, 5), (0, 5)]
    other = [(0, 5), (0, 5), (5, 5), (0, 5)]
    assert sig.differ_in_sessions(one, other) > sig.rates_differ(10, 20, 5, 20)
    even = ([(1, 5)] * 40, [(3, 5)] * 40)
    assert sig.differ_in_sessions(*even) < 0.001


def test_the_least_weakness_found_is_that_of_the_exact_test() -> None:
    share = sig.least_found(15, 20, 600, 0.05 / 100)
    assert share is not None
    needed = next(n for n in range(16) if sig.more_often(n, 15, 20, 600) <= 0.05 / 100)
    assert (
        stats.binom.sf(needed - 1, 15, share) >= 0.8 > stats.binom.sf(needed - 1, 15, share - 0.01)
    )
    assert sig.least_found(2, 20, 40, 1e-6) is None
