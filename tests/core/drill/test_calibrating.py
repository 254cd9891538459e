"""Shown risks are corrected by what came of all earlier predictions, also of items not picked."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize

from callout.core.drill.calibrating import (
    FLOWN_WEIGHT,
    SPREAD,
    Correction,
    Foretold,
    Outcome,
    SlipHistory,
    fit_correction,
    outcomes_of,
)
from callout.core.drill.personal import Meeting, Personal


def made_outcomes(count: int) -> list[Outcome]:
    """Predictions that are too far out, of a person who fades faster than was foretold."""
    chance = np.random.default_rng(3)
    found: list[Outcome] = []
    for _ in range(count):
        foretold = Foretold(
            risk=float(chance.uniform(0.01, 0.7)),
            days=float(np.exp(chance.uniform(-1, 3))),
            longest=float(np.exp(chance.uniform(-1, 3))),
            share=float(chance.uniform(0.02, 0.3)),
            lately=float(chance.uniform(0.02, 0.3)),
            since=float(np.exp(chance.uniform(0, 4))),
            drill=bool(chance.random() < 0.5),
        )
        truth = Correction((-0.3, 0.7, 0.5, 0.2, 0.3, 0.1, 0.2, 0.6)).of(foretold)
        found.append((foretold, bool(chance.random() < truth), float(chance.uniform(0.3, 1.0))))
    return found


def test_the_correction_is_the_penalised_maximum() -> None:
    """Against scipy.optimize on the same penalised likelihood."""
    outcomes = made_outcomes(600)
    known = np.array([foretold.numbers() for foretold, _, _ in outcomes])
    slips = np.array([slip for _, slip, _ in outcomes])
    weights = np.array([w * (1 if f.drill else FLOWN_WEIGHT) for f, _, w in outcomes])
    usual = np.array(Correction().factors)

    def loss(factors: np.ndarray) -> float:
        odds = known @ factors
        fit = np.sum(weights * (np.log1p(np.exp(odds)) - slips * odds))
        return float(fit + np.sum(((factors - usual) / SPREAD) ** 2) / 2)

    best = optimize.minimize(loss, usual, tol=1e-10).x
    assert fit_correction(outcomes).factors == pytest.approx(tuple(best), abs=1e-3)


def test_nothing_known_leaves_a_risk_as_it_is() -> None:
    for risk in (0.02, 0.2, 0.6):
        untouched = Foretold(risk, days=9.0, longest=2.0, share=0.4, since=1.0)
        assert fit_correction([]).of(untouched) == pytest.approx(risk)


def test_a_corrected_risk_comes_true_at_both_ends() -> None:
    """Fitted on some predictions, looked at on others: the low and the high third come true."""
    found = fit_correction(made_outcomes(6000))
    others = made_outcomes(9000)[6000:]
    told = np.array([found.of(foretold) for foretold, _, _ in others])
    slipped = np.array([slip for _, slip, _ in others])
    plain = np.array([foretold.risk for foretold, _, _ in others])
    for third in (told < np.quantile(told, 1 / 3), told > np.quantile(told, 2 / 3)):
        assert abs(told[third].mean() - slipped[third].mean()) < 0.04
    assert abs(plain[plain > 0.5].mean() - slipped[plain > 0.5].mean()) > 0.06


def test_what_waits_teaches_as_well_as_what_is_picked() -> None:
    """Two items alike in risk: one was picked and went wrong, one waited and did not."""
    picked = Foretold(0.3, days=1.0, longest=4.0, share=0.3, lately=0.3, since=1.0)
    waits = Foretold(0.3, days=4.0, longest=4.0, share=0.03, lately=0.03, since=90.0, drill=False)
    outcomes = [(picked, n % 2 == 0, 1.0) for n in range(60)]
    outcomes += [(waits, n % 50 == 0, 1.0) for n in range(2000)]
    asked = Foretold(0.3, days=4.0, longest=4.0, share=0.03, lately=0.03, since=90.0)
    alone = fit_correction(outcomes[:60])
    assert fit_correction(outcomes).of(asked) < alone.of(asked)


def test_a_history_knows_only_what_was_before() -> None:
    history = SlipHistory()
    history.add(0.0, False)
    history.add(4.0, True)
    history.add(2.0, False)
    foretold = history.foretold(0.2, 9.0, drill=True)
    assert (foretold.days, foretold.longest, foretold.since) == (9.0, 4.0, 11.0)
    assert foretold.share == pytest.approx(2 / 13)
    assert 0.1 < foretold.lately < foretold.share + 0.1
    assert SlipHistory.of([Meeting(1.0, False, 1.0), Meeting(0.9, True, 1.0, days=4.0),
                           Meeting(0.9, False, 1.0, days=2.0)]) == history  # fmt: skip


def test_each_outcome_is_foretold_from_earlier_meetings_alone() -> None:
    """Changing the last meeting changes no prediction."""
    first = [Meeting(0.95, n == 2, 1.0, drill=n % 2 == 0, days=3.0 * (n > 0)) for n in range(6)]
    other = [*first[:-1], Meeting(0.95, True, 1.0, drill=False, days=3.0)]
    one, two = (list(outcomes_of([found], Personal())) for found in (first, other))
    assert [foretold for foretold, _, _ in one] == [foretold for foretold, _, _ in two]
    assert [slip for _, slip, _ in one] == [False, True, False, False, False]
    assert (len(one), two[-1][1]) == (5, True)
