"""Confidence intervals for shares."""

from __future__ import annotations

from math import sqrt

Z_95 = 1.959963984540054
"""Two-sided 95 % point of the normal distribution."""


def wilson(hits: int, total: int, z: float = Z_95) -> tuple[float, float]:
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
