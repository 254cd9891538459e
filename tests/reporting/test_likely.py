"""Likely shares against the same model by another way, and against truths that are known."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest

pytest.importorskip("scipy")

from scipy import stats

from callout.bench.people.likely import told, weighed, weighed_class
from callout.bench.truths import made_up
from callout.core.debrief.likely import Likely, likely_words, some_of_both
from callout.core.debrief.rates import Rate
from callout.core.debrief.trends import TrendLine
from callout.reporting import likely_shares as model
from callout.reporting.hierarchy import Meetings
from callout.reporting.likely_of_many import LikelyOfMany
from callout.reporting.likely_shares import Drift, likely_shares, settled


def _runs(*counts: tuple[int, int]) -> Meetings:
    """Items of one list, each with its slips and runs, every run in a session of its own."""
    happened = [float(n < slips) for slips, runs in counts for n in range(runs)]
    items = [number for number, (_, runs) in enumerate(counts) for _ in range(runs)]
    return Meetings(happened, np.zeros(len(items)), items, [0] * len(items), range(len(items)))


def test_the_grid_gives_what_drawing_from_the_same_model_gives() -> None:
    """Importance sampling: every unknown drawn from what is assumed, weighted by the binomial
    likelihood of what was seen (scipy)."""
    counts, chance, many = ((6, 12), (0, 12), (1, 15)), np.random.default_rng(4), 600_000
    usual = chance.normal(model.USUAL, model.USUAL_SPREAD, many)
    middle = usual + chance.normal(size=many) * chance.choice(model.LIST_SPREADS, many)
    spread = chance.choice(model.ITEM_SPREADS, many)
    line = [middle + spread * stats.t.rvs(model._TAIL, size=many, random_state=chance)
            for _ in counts]  # fmt: skip
    shares = [1 / (1 + np.exp(-one)) for one in line]
    weight = np.prod([stats.binom.pmf(*count, share)
                      for count, share in zip(counts, shares, strict=True)], axis=0)  # fmt: skip
    evidence = np.stack(
        [slips * model.GRID - runs * np.logaddexp(0, model.GRID) for slips, runs in counts]
    )
    found, _ = settled(evidence, np.zeros(3, dtype=int), 1.0)
    for row, share in zip(found, shares, strict=True):
        wanted = np.average(share, weights=weight)
        assert row @ model.chance_of(model.GRID) == pytest.approx(wanted, rel=0.03)


def test_a_single_run_gives_a_wide_interval_near_what_is_assumed() -> None:
    [one] = likely_shares(_runs((1, 1)), Drift()).items
    assert 0.05 < one.share < 0.5
    assert one.low < 0.02
    assert one.high > 0.5


@pytest.mark.parametrize("runs", [1, 5, 40, 400])
@pytest.mark.parametrize("wrong", [False, True])
def test_no_interval_has_no_length_and_every_share_lies_in_its_own(runs: int, wrong: bool) -> None:
    for one in likely_shares(_runs((runs * wrong, runs), (0, runs)), Drift()).items:
        assert one.low < one.share < one.high
        assert one.high - one.low > 0.5 / (runs + 50)


def test_few_runs_lean_on_the_other_items_and_many_stand_by_themselves() -> None:
    few = likely_shares(_runs((2, 4), *[(1, 40)] * 6), Drift()).items[0]
    many = likely_shares(_runs((100, 200), *[(1, 40)] * 6), Drift()).items[0]
    assert few.share < 0.35
    assert many.share == pytest.approx(0.5, abs=0.04)
    assert many.high - many.low < (few.high - few.low) / 2


def test_two_aircraft_are_two_lists_that_lean_on_themselves_first() -> None:
    bad, good = [(4, 10)] * 6, [(0, 10)] * 6
    made = _runs(*bad, *good, (1, 2), (1, 2))
    lists = [0 if n < 6 or n == 12 else 1 for n in made.items]
    found = likely_shares(replace(made, lists=lists), Drift()).items
    assert found[12].share > found[13].share


def test_a_person_who_gets_worse_is_judged_over_the_whole_time_at_every_item() -> None:
    """One item was met early only, with few slips; the other late only, with many."""
    rows = [(0, n / 100, 0) for n in range(50)] + [(1, n / 100, n % 2) for n in range(50, 100)]
    items, days, happened = zip(*rows, strict=True)
    made = Meetings(happened, days, items, [0] * 100, range(100))
    early, late = likely_shares(made, Drift(2.5, 0.3)).items
    plain_early, plain_late = likely_shares(made, Drift(0.0, 0.01)).items
    assert early.share > plain_early.share
    assert late.share < plain_late.share


def test_slips_that_come_in_the_same_sessions_prove_less() -> None:
    counts = [(3, 10)] * 8
    alone = _runs(*counts, (0, 1))
    by_session = [n % 10 for n in range(80)]
    together = replace(alone, sessions=[*by_session, 10])
    apart = replace(alone, sessions=[(n + n // 10) % 10 for n in range(80)] + [10])
    lengths = [one.high - one.low
               for made in (together, apart)
               for one in likely_shares(made, Drift()).items[8:]]  # fmt: skip
    assert lengths[0] > lengths[1]


def test_likely_shares_are_nearer_to_the_truth_and_their_intervals_hold_it() -> None:
    kinds = ("nothing", "gets worse", "easy lists first")
    found = [weighed(made_up(kind, 1.0, 60, seed)) for kind in kinds for seed in range(15)]
    rows = np.array([one.row() for one in found]).mean(axis=0)
    assert 0.92 < rows[0] < 0.98
    assert rows[2] < 0.7 * rows[3]
    assert "95 % intervals hold" in told(found)


def test_a_class_is_nearer_to_the_truth_than_its_counts() -> None:
    rows = np.array([weighed_class(seed, 8, 40, 0.7).row() for seed in range(8)]).mean(axis=0)
    assert 0.9 < rows[0] < 0.99
    assert rows[2] < rows[3]


def test_the_order_of_people_makes_no_difference_to_a_class() -> None:
    people = [(-3.1, [("a", "x", Rate(1, 7)), ("b", "x", Rate(0, 7))]),
              (-2.2, [("b", "x", Rate(2, 9)), ("c", "y", Rate(9, 9))]),
              (-4.7, [("c", "y", Rate(0, 31)), ("a", "x", Rate(1, 3))])]  # fmt: skip
    found = []
    for order in permutations(people):
        many = LikelyOfMany[str]()
        for usual, met in order:
            many.add(usual, met)
        found.append(many.shares())
    assert all(one == found[0] for one in found)


@pytest.mark.parametrize(
    ("likely", "words"),
    [
        (Likely(0.163, 0.07, 0.33), "about 1 in 6 (7 to 33 %)"),
        (Likely(0.004, 0.0, 0.02), "less than 1 in 100 (0 to 2 %)"),
        (Likely(0.004, 0.0001, 0.0004), "less than 1 in 100 (0 to 1 %)"),
        (Likely(0.052, 0.01, 0.11), "about 1 in 20 (1 to 11 %)"),
        (Likely(0.33, 0.2, 0.5), "about 1 in 3 (20 to 50 %)"),
        (Likely(0.52, 0.3, 0.7), "about half (30 to 70 %)"),
        (Likely(0.71, 0.5, 0.9), "about 7 in 10 (50 to 90 %)"),
        (Likely(0.99, 0.9, 1.0), "about 9 in 10 (90 to 100 %)"),
    ],
)
def test_a_share_in_words(likely: Likely, words: str) -> None:
    assert likely_words(likely) == words


def test_critical_items_come_first_and_others_keep_their_room() -> None:
    made = [TrendLine(str(n), Rate(1, 2), {}, critical=n % 2 == 0) for n in range(20)]
    assert [one.name for one in some_of_both(made, 6)] == ["0", "2", "4", "1", "3", "5"]
    assert [one.name for one in some_of_both(made[:3], 6)] == ["0", "2", "1"]
    assert [one.name for one in some_of_both(made[::2], 3)] == ["0", "2", "4"]
    assert [one.name for one in some_of_both(made[1::2], 3)] == ["1", "3", "5"]
