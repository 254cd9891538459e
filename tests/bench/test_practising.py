"""Invented learners: the rule in use beats a fixed cycle and starves nothing."""

from __future__ import annotations

import numpy as np
import pytest

from callout.bench import practising
from callout.bench.learners import LEARNERS, slip_chance


@pytest.mark.parametrize("kind", LEARNERS)
def test_learners_forget_and_learn(kind: str) -> None:
    chance = np.random.default_rng(1)
    learner = LEARNERS[kind](30, chance)
    for day in (0.0, 4.0, 8.0):
        learner.meet(range(30), day, np.zeros(30, dtype=bool))
    early, late = slip_chance(learner, 9.0), slip_chance(learner, 60.0)
    assert (late >= early).all()
    assert late.mean() > early.mean() + 0.1
    learner.meet(range(30), 60.0, np.zeros(30, dtype=bool))
    assert slip_chance(learner, 60.5).mean() < late.mean() / 2


def test_on_a_ground_break_it_beats_a_fixed_cycle(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two persons, 60 items, 14 slots a day, 40 days; the former rule starves a quarter."""
    monkeypatch.setattr(practising, "DAYS", 40)
    monkeypatch.setattr(practising, "SLOTS", 14)
    entries = practising.shipped_entries(60)
    found = {
        name: [practising.practise_person("half-lives", name, False, p, entries) for p in range(2)]
        for name in ("fixed cycle", "by risk, as before", "by expected gain")
    }
    slips = {name: sum(one.all for one in ended) for name, ended in found.items()}
    assert slips["by expected gain"] < slips["fixed cycle"] < slips["by risk, as before"]
    starved = {name: sum(one.starved for one in ended) for name, ended in found.items()}
    assert starved["by expected gain"] == 0
    assert starved["by risk, as before"] > 10
