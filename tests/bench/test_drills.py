"""The picker finds planted weaknesses far more often than chance would."""

from __future__ import annotations

from pathlib import Path

from callout.bench.drills import Ranked, compared, ranked, report
from callout.bench.persons import Planted, PlantedWeakness
from callout.bench.year import make_year


def test_planted_weaknesses_come_first(tmp_path: Path) -> None:
    """Seed 5, one person, 25 meetings of each item: 12 of 43 slots hold at least 5 of 7."""
    year = make_year(tmp_path, seed=5, sessions=150, names=("Trainee Alder",))
    (one,) = ranked(year, tmp_path)
    assert len(one.weak) == 7
    assert one.items > 40
    assert all(len(set(places)) == count for count, places in one.picked.items())
    assert one.found(12) >= 5


def test_the_comparison_names_no_item_that_was_not_planted(tmp_path: Path) -> None:
    """Seed 6, two persons, 75 meetings of each item."""
    year = make_year(tmp_path, seed=6, sessions=900, names=("Trainee Alder", "Trainee Birch"))
    found = compared(year, tmp_path)
    assert found.named == found.right
    assert found.right >= 1


def test_the_figures_are_counted_right() -> None:
    planted = (
        Planted("A", "l", "a", PlantedWeakness.WRONG, 0.3),
        Planted("A", "l", "b", PlantedWeakness.BETTER, 0.3),
        Planted("A", "l", "d", PlantedWeakness.SKIPS, 0.3),
    )
    order = tuple(("l", item) for item in "abcdefgh")
    picked = {count: order[:count] for count in (2, 4, 12)}
    lines = list(report([Ranked("A", picked, len(order), planted)], slots=(2, 4)))
    assert "precision 1/2 = 50 %, recall 1/2 = 50 % (by chance 25 %)" in lines[1]
    assert "precision 2/4 = 50 %, recall 2/2 = 100 %" in lines[2]
