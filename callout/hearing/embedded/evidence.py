"""From log-likelihoods to evidence about the best phrase."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

PRIOR = 0.4
"""Share of a phrase's score on mere noise that is taken off: some words are always likely."""
WORST = -25.0
"""Scores below this say nothing more."""


@dataclass(frozen=True, slots=True)
class PhraseScore:
    """One candidate's evidence."""

    text: str
    raw: float
    """Natural-log likelihood, summed over ways of saying and writing."""
    adjusted: float
    """``raw`` less its share of the score on noise."""
    written: str
    """The likeliest way it was written."""


FEATURES = ("gap", "lead", "same", "alike", "raw", "free", "free_words", "adjusted", "words")
"""Names of the numbers that ``features`` returns, in order."""


def plain(text: str) -> str:
    """Return lower-case words and digits only, single spaces."""
    return " ".join(re.sub(r"[^a-z0-9 ]", "", text.lower().replace("-", " ")).split())


def adjusted(raw: float, noise: float) -> float:
    """Return a likelihood corrected for how likely the phrase is on mere noise."""
    return max(raw, WORST) - PRIOR * max(noise, WORST)


def features(
    ranked: list[PhraseScore], spellings: tuple[str, ...], free_text: str, free_score: float
) -> tuple[float, ...]:
    """Return the evidence on ``ranked[0]`` as numbers, in the order of FEATURES.

    spellings: every way the best phrase may be written, for comparison with the free transcript.
    """
    best = ranked[0]
    second = ranked[1].adjusted if len(ranked) > 1 else WORST
    heard = plain(free_text)
    known = {plain(s) for s in spellings}
    alike = max((Levenshtein.normalized_similarity(heard, k) for k in known), default=0.0)
    raw = max(best.raw, WORST)
    return (
        raw - max(free_score, WORST),
        min(best.adjusted - second, 15.0),
        float(heard in known),
        alike,
        raw,
        max(free_score, WORST),
        float(min(len(heard.split()), 12)),
        best.adjusted,
        float(len(best.written.split())),
    )


def logistic(score: float) -> float:
    """Return 1 / (1 + e^-score) without overflow."""
    return 1.0 / (1.0 + math.exp(-max(-60.0, min(60.0, score))))
