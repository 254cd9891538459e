"""The calibrated decision: was the best phrase said?"""

from __future__ import annotations

import json
from dataclasses import dataclass
from importlib import resources

from callout.hearing.embedded.evidence import NETWORK, logistic_curve


@dataclass(frozen=True, slots=True)
class EmbeddedDecision:
    """A logistic over evidence; for the network's evidence it is fitted by ``callout bench
    fit``.
    """

    bias: float
    """Log-odds without evidence."""
    weights: tuple[float, ...]
    """One for each entry of the evidence, in its order."""
    threshold: float
    """Lowest probability at which the recogniser is sure."""

    def score(self, evidence: tuple[float, ...]) -> float:
        """Return the log-odds that the best phrase was said."""
        return self.bias + sum(w * x for w, x in zip(self.weights, evidence, strict=True))

    def confidence(self, score: float) -> float:
        """Return the probability, 0 to 1, for given log-odds."""
        return logistic_curve(score)


def shipped_decision() -> EmbeddedDecision:
    """Return the decision fitted on the shared recordings and synthetic voices."""
    text = (resources.files("callout") / "data/hearing/decision.json").read_text("utf-8")
    data = json.loads(text)
    weights = tuple(float(data["weights"][name]) for name in NETWORK)
    return EmbeddedDecision(float(data["bias"]), weights, float(data["threshold"]))
