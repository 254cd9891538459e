"""The way over the panels, against trying every order."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.core.lint.travel import (
    panel_stops,
    panels_revisited,
    places_of,
    shortest_way,
    way_length,
)

spots = st.tuples(st.integers(-50, 50), st.integers(-50, 50))


@given(st.lists(spots, min_size=1, max_size=6))
def test_the_shortest_way_is_the_best_of_all_orders(places: list[tuple[int, int]]) -> None:
    known = {f"p{n}": (float(x), float(y)) for n, (x, y) in enumerate(places)}
    found = shortest_way(tuple(known), known)
    assert found == pytest.approx(min(way_length(way, known) for way in permutations(known)))


def test_panels_without_places_stand_in_a_row() -> None:
    places = places_of(["floor", "pedestal", "radios"], {"floor": (0, 0)})
    assert way_length(["floor", "radios", "pedestal"], places) == 3
    assert shortest_way(["floor", "radios", "pedestal"], places) == 2


def test_staying_is_one_stop_and_coming_back_is_named() -> None:
    way = panel_stops(["a", "a", "", "b", "a", "c", "b"])
    assert way == ("a", "b", "a", "c", "b")
    assert panels_revisited(way) == ("a", "b")


def test_too_many_panels_are_not_guessed_at() -> None:
    names = [f"p{n}" for n in range(11)]
    assert shortest_way(names, places_of(names, {})) is None
