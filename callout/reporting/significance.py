"""Tests and intervals, from SciPy.

Mann, Econometrica 13:245 (1945) and Kendall (1975) for trends; Theil and Sen for slopes; Fisher's
exact test for two rates; Mann and Whitney (1947) for two samples; Benjamini and Hochberg, J. R.
Stat. Soc. B 57:289 (1995) and Holm, Scand. J. Stat. 6:65 (1979) for many tests at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from callout.core.sentences import reports as sentences
from callout.errors import CalloutError

FEW_WITH_TIES = 20
"""Up to this size ties are handled by permutation; above it by the normal approximation."""
_PERMUTATIONS = 9999
_SEED = 20


@dataclass(frozen=True, slots=True)
class Kendall:
    """A Mann-Kendall trend test."""

    tau: float
    """Kendall's tau-b, -1 to 1."""
    p: float
    """Two-sided."""
    slope: float
    low: float
    high: float
    """Theil-Sen slope per unit of ``x``, with its 95 % interval."""


def scipy_stats() -> Any:
    """Return scipy.stats; raise CalloutError without it."""
    try:
        from scipy import stats as found
    except ImportError as error:
        hint = 'Run: pip install "callout[debrief]"'
        raise CalloutError(sentences.SCIPY_MISSING, hint) from error
    return found


def kendall_trend(x: Sequence[float], values: Sequence[float]) -> Kendall:
    """Return the trend of ``values`` over ``x`` (times in order, at least two)."""
    import numpy as np

    if len(set(values)) < 2:
        return Kendall(0.0, 1.0, 0.0, 0.0, 0.0)
    order = np.arange(len(values))
    found = scipy_stats().kendalltau(order, values)
    p = float(found.pvalue)
    if len(set(values)) < len(values) <= FEW_WITH_TIES:
        p = _permutation_p(np.asarray(values, dtype=float))
    slope = scipy_stats().theilslopes(values, x)
    return Kendall(float(found.statistic), p, float(slope[0]), float(slope[2]), float(slope[3]))


def _permutation_p(values: Any) -> float:
    """Return the two-sided p of Kendall's S, from all orders or 9,999 random ones."""
    import numpy as np

    first, second = np.triu_indices(len(values), 1)

    def score(data: Any, axis: int = -1) -> Any:
        return np.sign(data[..., second] - data[..., first]).sum(axis=-1)

    found = scipy_stats().permutation_test(
        (values,),
        score,
        permutation_type="pairings",
        n_resamples=_PERMUTATIONS,
        vectorized=True,
        alternative="two-sided",
        rng=np.random.default_rng(_SEED),
    )
    return float(found.pvalue)


def drift_test(hits: Sequence[bool]) -> tuple[float, float]:
    """Return (shift, two-sided p) for the position of hits within a sequence.

    shift: -1 all hits come first, 1 all come last (rank-biserial). p: Mann and Whitney on the
    places, exact while few; (0, 1) where all or none are hits.
    """
    first = [n for n, hit in enumerate(hits) if hit]
    second = [n for n, hit in enumerate(hits) if not hit]
    if not first or not second:
        return 0.0, 1.0
    found = scipy_stats().mannwhitneyu(first, second, alternative="two-sided")
    return 2 * float(found.statistic) / (len(first) * len(second)) - 1, float(found.pvalue)


def more_often(hits: int, total: int, other_hits: int, other_total: int) -> float:
    """Return the one-sided p that the first rate is the larger one (Fisher's exact test)."""
    table = [[hits, total - hits], [other_hits, other_total - other_hits]]
    return float(scipy_stats().fisher_exact(table, alternative="greater").pvalue)


def rates_differ(hits: int, total: int, other_hits: int, other_total: int) -> float:
    """Return the two-sided p that two rates differ (Fisher's exact test)."""
    table = [[hits, total - hits], [other_hits, other_total - other_hits]]
    return float(scipy_stats().fisher_exact(table).pvalue)


def tends_larger(sample: Sequence[float], other: Sequence[float]) -> float:
    """Return the one-sided p that ``sample`` tends to be larger (Mann and Whitney)."""
    return float(scipy_stats().mannwhitneyu(sample, other, alternative="greater").pvalue)


def median_interval(sample: Sequence[float]) -> tuple[float, float]:
    """Return the 95 % interval of the median from order statistics; the range when too few."""
    found = scipy_stats().quantile_test(sorted(sample), q=0, p=0.5).confidence_interval(0.95)
    low, high = float(found.low), float(found.high)
    return (low if low == low else min(sample)), (high if high == high else max(sample))


def benjamini_hochberg(ps: Sequence[float]) -> list[float]:
    """Return p-values adjusted for the share of false findings."""
    return [float(p) for p in scipy_stats().false_discovery_control(ps)] if ps else []


def holm_adjusted(ps: Sequence[float]) -> list[float]:
    """Return p-values adjusted for any false finding at all; SciPy has no such function."""
    adjusted = [0.0] * len(ps)
    least = 0.0
    for rank, index in enumerate(sorted(range(len(ps)), key=ps.__getitem__)):
        least = max(least, min(1.0, (len(ps) - rank) * ps[index]))
        adjusted[index] = least
    return adjusted


def least_found(runs: int, hits: int, total: int, level: float, power: float = 0.8) -> float | None:
    """Return the smallest share at which Fisher's test detects an item with this power; None if
    none.

    runs: of the item; hits of total: the usual rate elsewhere; level: of the single test.
    """
    needed = next((n for n in range(runs + 1) if more_often(n, runs, hits, total) <= level), None)
    if needed is None:
        return None
    shares = (n / 100 for n in range(1, 101))
    return next((s for s in shares if scipy_stats().binom.sf(needed - 1, runs, s) >= power), None)


Tally = Sequence[tuple[int, int]]
"""Hits and trials of each session."""


def differ_in_sessions(one: Tally, other: Tally) -> float:
    """Return the two-sided p that two shares differ, with sessions as clusters (ratio estimates).

    Cochran, Sampling Techniques, 3rd ed. (1977), section 3.12, with Welch's degrees of freedom;
    with too few sessions or without any spread, Fisher's exact test.
    """
    whole = [(sum(h for h, _ in t), sum(n for _, n in t)) for t in (one, other)]
    exact = rates_differ(*whole[0], *whole[1])
    if min(len(one), len(other)) < 3 or not all(0 < h < n for h, n in whole):
        return exact
    (p, v), (q, w) = (_ratio(t, h, n) for t, (h, n) in zip((one, other), whole, strict=True))
    freedom = (v + w) ** 2 / (v * v / (len(one) - 1) + w * w / (len(other) - 1))
    found = 2 * float(scipy_stats().t.sf(abs(p - q) / (v + w) ** 0.5, freedom))
    return max(exact, found)


def _ratio(tally: Tally, hits: int, total: int) -> tuple[float, float]:
    share, count = hits / total, len(tally)
    spread = count / (count - 1) * sum((h - share * n) ** 2 for h, n in tally) / total**2
    return share, max(spread, share * (1 - share) / total)


def combined_p(ps: Sequence[float]) -> float:
    """Return one p for several one-sided ones (Stouffer 1949: sum of normal quantiles)."""
    held = [min(1 - 1e-9, max(1e-300, p)) for p in ps]
    return float(scipy_stats().combine_pvalues(held, method="stouffer").pvalue)
