"""How far the eye and hand travel over the panels, compared with the shortest path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import pairwise
from math import hypot

Place = tuple[float, float]
"""Centimetres across (right positive) and up."""

MOST_PANELS = 10
"""Maximum number of panels for which the shortest path is computed exactly."""


def places_of(panels: Sequence[str], known: Mapping[str, Place]) -> dict[str, Place]:
    """Return where each panel is; panels without a place form a row in scan order.

    If any panel has no place, all of them are put in the row.
    """
    if all(panel in known for panel in panels):
        return {panel: known[panel] for panel in panels}
    return {panel: (float(at), 0.0) for at, panel in enumerate(panels)}


def panel_stops(panels: Sequence[str]) -> tuple[str, ...]:
    """Return the panels in the order they are visited; staying at one counts once."""
    named = [panel for panel in panels if panel]
    return tuple(p for n, p in enumerate(named) if n == 0 or named[n - 1] != p)


def way_length(way: Sequence[str], places: Mapping[str, Place]) -> float:
    """Return the length of the path from panel to panel."""
    return sum(_distance_apart(places[one], places[other]) for one, other in pairwise(way))


def shortest_way(panels: Sequence[str], places: Mapping[str, Place]) -> float | None:
    """Return the length of the shortest path past all of ``panels``, from any start.

    Exact (Held and Karp, 1962); None for more than MOST_PANELS panels.
    """
    at = [places[panel] for panel in dict.fromkeys(panels)]
    if len(at) > MOST_PANELS:
        return None
    everyone = (1 << len(at)) - 1

    @cache
    def best(seen: int, last: int) -> float:
        if seen == everyone:
            return 0.0
        return min(
            _distance_apart(at[last], at[n]) + best(seen | 1 << n, n)
            for n in range(len(at))
            if not seen >> n & 1
        )

    return min((best(1 << n, n) for n in range(len(at))), default=0.0)


def panels_revisited(way: Sequence[str]) -> tuple[str, ...]:
    """Return the panels that are visited again, in order, once for each return."""
    seen: set[str] = set()
    back = []
    for panel in way:
        if panel in seen:
            back.append(panel)
        seen.add(panel)
    return tuple(back)


def _distance_apart(one: Place, other: Place) -> float:
    return hypot(one[0] - other[0], one[1] - other[1])
