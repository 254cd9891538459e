"""The two fits of ``callout bench fuse``: the mix of opinions, and the logistic on the evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from callout.hearing.embedded.evidence import PhraseScore
from callout.hearing.embedded.standing import Mix

START = (1.0, -5.0, 0.7, 1.0, -4.0, 0.7, 0.5, -5.0, 0.4)
BOUNDS = ((0.0, 4.0), (-12.0, -1.0), (0.05, 2.0)) * 3
STRENGTH = 0.5
Z95 = 1.96


@dataclass(frozen=True, slots=True)
class Fitted:
    """A logistic regression on plain evidence."""

    bias: float
    weights: tuple[float, ...]
    chances: Any
    """For each case, from a fit without its speaker."""


def fitted_mix(cases: Sequence[tuple[tuple[PhraseScore, ...], str]], digits: int) -> Mix:
    """Return the mix that makes what was said most likely, over all cases."""
    from scipy.optimize import minimize

    widest = max(len(scores) for scores, _ in cases)
    opinions = np.full((3, len(cases), widest), -1e9)
    said = np.zeros(len(cases), np.int64)
    for row, (scores, words) in enumerate(cases):
        said[row] = [s.text for s in scores].index(words)
        for place, one in enumerate(scores):
            opinions[:, row, place] = one.sound, one.adjusted, one.phones
    there = opinions[0] > -1e8
    best = minimize(_surprise, START, (opinions, there, said), "L-BFGS-B", bounds=BOUNDS)
    return Mix.of(best.x.round(digits).reshape(3, 3).tolist())


def _surprise(numbers: Any, opinions: Any, there: Any, said: Any) -> float:
    standing = np.zeros(there.shape)
    for opinion, (weight, floor, sharpness) in zip(opinions, numbers.reshape(3, 3), strict=True):
        scaled = np.exp(sharpness * (opinion - opinion.max(1, keepdims=True))) * there
        standing += weight * np.log(scaled / scaled.sum(1, keepdims=True) + np.exp(floor))
    standing = np.where(there, standing, -1e9)
    total = np.logaddexp.reduce(standing, axis=1)
    return float((total - standing[np.arange(len(said)), said]).mean())


def logistic_of(
    x: Any, y: Any, shares: Any, folds: Sequence[int], strength: float = STRENGTH
) -> Fitted:
    """Return the logistic over all cases, and the chances of each with its fold held out.

    strength: the smaller, the closer the weights are held to zero.
    """
    chances, fold_of = np.zeros(len(y)), np.array(folds)
    for fold in np.unique(fold_of):
        kept = fold_of != fold
        model = _model(strength).fit(
            x[kept], y[kept], logisticregression__sample_weight=shares[kept]
        )
        chances[~kept] = model.predict_proba(x[~kept])[:, 1]
    scaler, logistic = _model(strength).fit(x, y, logisticregression__sample_weight=shares)
    weights = logistic.coef_[0] / scaler.scale_
    bias = float(logistic.intercept_[0] - (weights * scaler.mean_).sum())
    return Fitted(bias, tuple(float(w) for w in weights), chances)


def _model(strength: float) -> Any:
    from sklearn.linear_model import LogisticRegression
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import StandardScaler

    return make_pipeline(StandardScaler(), LogisticRegression(C=strength, max_iter=5000))


def wilson(count: int, of: int) -> str:
    """Return a share in percent with its 95 % interval (Wilson, 1927)."""
    if not of:
        return "-"
    share, extra = count / of, Z95**2 / of
    middle = (share + extra / 2) / (1 + extra)
    half = Z95 / (1 + extra) * np.sqrt(share * (1 - share) / of + extra / (4 * of))
    return f"{100 * share:.1f} % [{100 * (middle - half):.1f}, {100 * (middle + half):.1f}]"
