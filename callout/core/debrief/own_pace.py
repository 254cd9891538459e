"""Replies too fast for a look, relative to the person's own usual replies."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import exp, log
from statistics import median

from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.usual_times import source_of

FEWEST = 20
"""Number of spoken right replies needed to know a person's usual pace."""
FENCE = 2.5
"""Median absolute deviations of the logarithm below the median (Leys and others, J. Exp. Soc.
Psychol. 49:764, 2013); for a normal distribution one reply in 160 lies beyond.
"""
_TO_SPREAD = 1.4826


def with_own_pace(items: Sequence[ItemFact]) -> tuple[ItemFact, ...]:
    """Return items with "too fast" redefined for this person.

    If a person has too few spoken replies, none is called too fast.
    """
    times: dict[str, list[float]] = {}
    for item in items:
        if _spoken(item):
            times.setdefault(item.person, []).append(log(item.right_seconds or 1.0))
    fences = {person: too_fast_below(found) for person, found in times.items()}
    return tuple(_marked(item, fences.get(item.person)) for item in items)


def too_fast_below(logs: Iterable[float]) -> float | None:
    """Return the seconds below which a reply is too fast; None if there are too few."""
    found = list(logs)
    if len(found) < FEWEST:
        return None
    middle = median(found)
    return exp(middle - FENCE * _TO_SPREAD * median(abs(one - middle) for one in found))


def _spoken(item: ItemFact) -> bool:
    return (item.right_seconds or 0.0) > 0 and source_of(item) == "voice"


def _marked(item: ItemFact, least: float | None) -> ItemFact:
    fast = least is not None and _spoken(item) and (item.right_seconds or 0.0) < least
    if fast == (Deviation.TOO_FAST in item.deviations):
        return item
    others = tuple(d for d in item.deviations if d is not Deviation.TOO_FAST)
    return replace(item, deviations=(*others, Deviation.TOO_FAST) if fast else others)
