"""Whether a probability of 0.9 is right nine times in ten: by condition, on held-out speakers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

BINS = 10
BAR = 20


@dataclass(frozen=True, slots=True)
class Bin:
    """The cases whose probability lies in one tenth."""

    count: int
    told: float
    """Mean predicted probability."""
    right: float
    """Share that was right."""


def bins(chances: Sequence[float], right: Sequence[bool]) -> tuple[Bin, ...]:
    """Return the tenths that contain a case, lowest first."""
    told, hits = np.array(chances, float), np.array(right, float)
    place = np.minimum((told * BINS).astype(int), BINS - 1)
    there = [place == n for n in range(BINS) if np.any(place == n)]
    return tuple(Bin(int(m.sum()), float(told[m].mean()), float(hits[m].mean())) for m in there)


def calibration_error(found: Sequence[Bin]) -> float:
    """Return the expected calibration error: the mean distance, weighted by cases.

    Guo et al., "On calibration of modern neural networks", ICML 2017, equation 3.
    """
    total = sum(b.count for b in found)
    return sum(b.count * abs(b.right - b.told) for b in found) / total if total else 0.0


def picture(name: str, chances: Sequence[float], right: Sequence[bool]) -> Iterator[str]:
    """Yield a reliability diagram: a bar for the observed share, a mark for the predicted one."""
    found = bins(chances, right)
    yield f"{name}: {len(chances)} cases, expected calibration error {calibration_error(found):.3f}"
    for one in found:
        bar = "#" * round(one.right * BAR)
        line = [*bar.ljust(BAR + 1)]
        line[round(one.told * BAR)] = "|"
        yield f"  told {one.told:.2f}  right {one.right:.2f}  {''.join(line)}  {one.count}"
