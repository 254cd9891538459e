"""One model behind every page: does something change at the same items, with sessions as clusters?

Penalised regression of what happened at each meeting of an item (deviation: logistic; reply time:
linear on its logarithm). Every item has an effect of its own, drawn towards that of its list, and
lists towards one another (normal priors, as in a mixed model). Time enters twice: within each item,
as days from the item's own mean day, and between items. Only the first is told: what was practised
when is then no change of the person (Mundlak, Econometrica 46:69, 1978; Neuhaus and Kalbfleisch,
Biometrics 54:638, 1998). Meetings of one session are alike, so errors are taken by session (Liang
and Zeger, Biometrika 73:13, 1986), each enlarged by what the fit took out of it, with Satterthwaite
degrees of freedom (Bell and McCaffrey, Survey Methodology 28:169, 2002), fewer where a few sessions
make up most of the error (Pan and Wall, Statistics in Medicine 21:1429, 2002). Such errors come out
too small where slips are few, so a change is told only where the score test, whose errors are those
of no change, tells it too (Rao, Proc. Cambridge Phil. Soc. 44:50, 1948; by sessions: Boos, The
American Statistician 46:327, 1992).

A library for mixed or marginal models was weighed: it is a heavy dependency and has no such small-
sample errors for several effects. These are a hundred lines.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from callout.core.model.intervals import Z_95
from callout.reporting.significance import scipy_stats

Numbers = Any
ITEM_SPREAD, LIST_SPREAD = 1.0, 1.0
"""Spread of items in a list, and of lists, in log odds. Our choice, wide."""
ROUNDS = 40
_STILL = 1e9
"""Weight that forces the change to zero."""
_LEVEL = 0.05


@dataclass(frozen=True, slots=True)
class Meetings:
    """One person's meetings with items, one entry each."""

    happened: Numbers
    """0 or 1, or a number for a linear model."""
    days: Numbers
    items: Numbers
    """Number of the item, from 0; the same item of another aircraft counts as another."""
    lists: Numbers
    """Number of the list of each meeting, from 0."""
    sessions: Numbers
    """Number of the session of each meeting, from 0."""


@dataclass(frozen=True, slots=True)
class Slope:
    """Change per unit of time, at the same items."""

    change: float
    """In logits, or in the log of seconds."""
    error: float
    """Its standard error."""
    freedom: float
    """Degrees of freedom of its t distribution."""
    p: float
    """Two-sided p-value."""
    low: float
    high: float
    """95 % interval."""
    items: Numbers
    """Shrunken level of each item at the mean time."""
    score: float = 1.0
    """Two-sided p of the score test alone."""

    def least(self, power: float = 0.8) -> float:
        """Return the smallest change that would be detected with this probability."""
        t = scipy_stats().t
        return float((t.ppf(0.975, self.freedom) + t.ppf(power, self.freedom)) * self.error)


def slope_of(found: Meetings, *, logistic: bool = True) -> Slope | None:
    """Return the change; None if no item was met at two times, or nothing varies."""
    model = _Model(found, logistic)
    if model.sessions < 3 or not model.varies():
        return None
    return model.told(*model.fit(), model.score_test())


class _Model:
    """Normal equations with the item effects eliminated (they form a diagonal)."""

    def __init__(self, found: Meetings, logistic: bool) -> None:
        self.logistic = logistic
        self.y = np.asarray(found.happened, dtype=float)
        days = np.asarray(found.days, dtype=float)
        self.item = np.asarray(found.items, dtype=int)
        self.session = np.asarray(found.sessions, dtype=int)
        self.count = int(self.item.max()) + 1
        self.sessions = int(self.session.max()) + 1
        met = np.bincount(self.item, minlength=self.count)
        mean = np.bincount(self.item, days, self.count) / np.maximum(met, 1)
        within, between = days - mean[self.item], mean[self.item] - days.mean()
        lists = np.eye(int(np.max(found.lists)) + 1)[np.asarray(found.lists, dtype=int)]
        self.x = np.column_stack([within, np.ones_like(days), between, lists])
        spread = np.full(lists.shape[1], LIST_SPREAD**-2.0)
        self.ridge = np.concatenate([[0.0, 1e-4, 1e-2], spread])
        self.item_ridge = ITEM_SPREAD**-2.0

    def varies(self) -> bool:
        """Say whether time passes within an item, and whether anything happened at all."""
        return bool(np.ptp(self.x[:, 0]) > 0 and np.ptp(self.y) > 0)

    def fit(self, still: bool = False) -> tuple[Numbers, Numbers]:
        """Return the effects and the items' levels (Newton's steps to the penalised maximum).

        still: without change over time.
        """
        ridge = self.ridge + np.where(np.arange(len(self.ridge)), 0.0, _STILL * still)
        fixed, level = np.zeros(self.x.shape[1]), np.zeros(self.count)
        if self.logistic:
            share = min(0.98, max(0.02, self.y.mean()))
            fixed[1] = np.log(share / (1 - share))
        for _ in range(ROUNDS):
            mean, weight = self._mean(fixed, level)
            score = self.x.T @ (self.y - mean) - ridge * fixed
            own = np.bincount(self.item, self.y - mean, self.count) - self.item_ridge * level
            cross, inverse, whole = self._equations(weight)
            whole += np.diag(ridge - self.ridge)
            step = np.linalg.solve(whole, score - cross @ (inverse * own))
            to_level = inverse * (own - cross.T @ step)
            size = max(1.0, float(np.abs(step[1:]).max()) / 2, float(np.abs(to_level).max()) / 2)
            fixed, level = fixed + step / size, level + to_level / size
            if max(np.abs(step).max(), np.abs(to_level).max()) < 1e-7:
                break
        return fixed, level

    def _mean(self, fixed: Numbers, level: Numbers) -> tuple[Numbers, Numbers]:
        line = self.x @ fixed + level[self.item]
        if not self.logistic:
            return line, np.ones_like(line)
        mean = 1 / (1 + np.exp(-np.clip(line, -30, 30)))
        return mean, np.maximum(mean * (1 - mean), 1e-9)

    def _equations(self, weight: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        heavy = self.x * weight[:, None]
        cross = np.stack([np.bincount(self.item, column, self.count) for column in heavy.T])
        inverse = 1 / (np.bincount(self.item, weight, self.count) + self.item_ridge)
        whole = self.x.T @ heavy + np.diag(self.ridge) - (cross * inverse) @ cross.T
        return cross, inverse, whole

    def _left(self) -> int:
        return max(1, len(self.y) - self.count - 2)

    def score_test(self) -> float:
        """Return the two-sided p-value of no change, from each session's contribution to the
        score.
        """
        fixed, level = self.fit(still=True)
        mean, weight = self._mean(fixed, level)
        pull, _ = self._pull(weight)
        error = np.bincount(self.session, pull * (self.y - mean), self.sessions)
        size = float(np.sqrt(np.sum(error**2)))
        return 2 * float(scipy_stats().norm.sf(abs(float(error.sum())) / size)) if size else 1.0

    def _pull(self, weight: Numbers) -> tuple[Numbers, float]:
        """Return each meeting's contribution to the change, with everything else fitted, and its
        variance.
        """
        cross, inverse, whole = self._equations(weight)
        part = np.linalg.solve(whole, np.eye(self.x.shape[1])[0])
        return self.x @ part - (inverse * (cross.T @ part))[self.item], float(part[0])

    def told(self, fixed: Numbers, level: Numbers, score: float) -> Slope:
        """Return the change with its error, with sessions as clusters.

        score: p of the score test; the interval includes no change if that test detects none.
        """
        mean, weight = self._mean(fixed, level)
        pull, variance = self._pull(weight)
        error = np.bincount(self.session, pull * (self.y - mean), self.sessions)
        scale = 1.0 if self.logistic else float(np.sum((self.y - mean) ** 2)) / self._left()
        hold = np.bincount(self.session, pull * weight * pull, self.sessions) / variance
        squares = (error / np.clip(1 - hold, 0.05, 1.0)) ** 2
        robust = float(np.sqrt(np.sum(squares)))
        plain = float(np.sqrt(variance * scale))
        freedom = _freedom(hold, squares)
        t, change = scipy_stats().t, float(fixed[0])
        reach = max(float(t.ppf(0.975, freedom)) * robust, Z_95 * plain)
        spread = reach / float(t.ppf(0.975, freedom))
        p = max(score, 2 * float(t.sf(abs(change) / spread, freedom)) if spread else 1.0)
        reach = max(reach, abs(change)) if score > _LEVEL else reach
        shown = self.x[:, 1:] @ fixed[1:]
        met = np.maximum(np.bincount(self.item, minlength=self.count), 1)
        base = np.bincount(self.item, shown, self.count) / met
        return Slope(
            change, spread, freedom, p, change - reach, change + reach, base + level, score
        )


def _freedom(hold: Numbers, squares: Numbers) -> float:
    """Return the degrees of freedom: by design, or fewer if a few sessions dominate."""
    design = float(np.sum(hold) ** 2 / np.sum(hold**2)) - 1
    scatter = float(np.sum((squares - squares.mean()) ** 2))
    seen = 2 * float(np.sum(squares)) ** 2 / scatter if scatter else design
    return max(1.0, min(design, seen))
