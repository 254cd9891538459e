"""Confidence intervals for shares."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from statistics import NormalDist

Z_95 = 1.959963984540054
"""Two-sided 95 % quantile of the normal distribution."""
Count = tuple[float, float]
"""Number of hits and number of trials."""


def wilson_interval(hits: float, total: float, z: float = Z_95) -> tuple[float, float]:
    """Return the Wilson score interval for ``hits`` of ``total``; (0, 1) for no trials.

    Wilson (1927); the form without continuity correction of Newcombe, Statistics in Medicine
    17:857-872 (1998), method 3.
    """
    if total <= 0:
        return 0.0, 1.0
    share = hits / total
    spread = z * sqrt(share * (1 - share) / total + z * z / (4 * total * total))
    middle = share + z * z / (2 * total)
    scale = 1 + z * z / total
    return max(0.0, (middle - spread) / scale), min(1.0, (middle + spread) / scale)


def difference_interval(one: Count, other: Count, z: float = Z_95) -> tuple[float, float]:
    """Return the interval of one share less the other: a hybrid of two score intervals.

    Newcombe, Statistics in Medicine 17:873-890 (1998), method 10.
    """
    (p, low, high), (q, low_other, high_other) = (
        (_share(c), *wilson_interval(*c, z)) for c in (one, other)
    )
    below = ((p - low) ** 2 + (high_other - q) ** 2) ** 0.5
    above = ((high - p) ** 2 + (q - low_other) ** 2) ** 0.5
    return p - q - below, p - q + above


_FURTHEST_Z, _HALVINGS = 8.0, 24


def newcombe_p(one: Count, other: Count) -> float:
    """Return the two-sided p-value at which that interval just includes no difference."""
    low, high = 0.0, _FURTHEST_Z
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        least, most = difference_interval(one, other, middle)
        low, high = (middle, high) if least > 0 or most < 0 else (low, middle)
    return 2 * (1 - NormalDist().cdf(low))


def z_of_many(ps: Sequence[float], false: float = 0.05) -> float:
    """Return the normal quantile for reporting, out of many intervals, those that show a
    difference.

    On average no more than a share ``false`` of those reported is false (Benjamini and Hochberg, J.
    R. Statist. Soc. B 57:289, 1995; for intervals Benjamini and Yekutieli, J. Am. Statist. Assoc.
    100:71, 2005). If nothing differs at all, none is reported with probability 1 - ``false``.
    """
    count = max(1, len(ps))
    ranked = enumerate(sorted(ps), start=1)
    told = max((rank for rank, p in ranked if p <= false * rank / count), default=1)
    return NormalDist().inv_cdf(1 - false * told / (2 * count))


def _share(count: Count) -> float:
    hits, total = count
    return hits / total if total else 0.5


def t_95(freedom: int) -> float:
    """Return the two-sided 95 % quantile of Student's t (Abramowitz and Stegun 26.7.5)."""
    if freedom < 3:
        return {1: 12.7062, 2: 4.3027}.get(freedom, Z_95)
    z, n = Z_95, float(freedom)
    return (
        z
        + (z**3 + z) / (4 * n)
        + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * n**2)
        + (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / (384 * n**3)
        + (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / (92160 * n**4)
    )
