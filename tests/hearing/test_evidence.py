"""The numbers the decision is taken on stay finite, whatever was heard."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.hearing.embedded.decision import EmbeddedDecision, shipped_decision
from callout.hearing.embedded.evidence import (
    FEATURES,
    NETWORK,
    PRIOR,
    WORST,
    PhoneReading,
    PhraseScore,
    evidence_features,
    logistic_curve,
    noise_adjusted,
    plain_words,
)
from callout.hearing.embedded.joint_decision import joint_decision

LOGS = st.floats(-1e9, 0.0)
PHONES = st.lists(st.integers(1, 39), max_size=6).map(tuple)
SCORES = st.builds(PhraseScore, st.text(max_size=8), LOGS, LOGS, LOGS, st.integers(0, 40))
READINGS = st.builds(PhoneReading, st.text(max_size=20), LOGS, PHONES, LOGS)
BEST = PhraseScore("on", -2.0, 3.0, -1.0, 2)
OTHER = PhraseScore("off", -9.0, -4.0, -12.0, 2)
HEARD = PhoneReading("On.", -1.5, (1, 23), -0.8)


def named(
    scores: list[PhraseScore],
    reading: PhoneReading = HEARD,
    spellings: tuple[str, ...] = ("on", "On"),
) -> dict[str, float]:
    return dict(
        zip(FEATURES, evidence_features(scores, spellings, ((1, 23),), reading), strict=True)
    )


@settings(deadline=None)
@given(
    st.lists(SCORES, min_size=1, max_size=5),
    st.lists(st.text(max_size=8), max_size=3),
    st.lists(PHONES, max_size=3),
    READINGS,
)
def test_evidence_is_finite_and_complete(
    scores: list[PhraseScore],
    spellings: list[str],
    sounds: list[tuple[int, ...]],
    reading: PhoneReading,
) -> None:
    ranked = sorted(scores, key=lambda s: s.combined, reverse=True)
    found = evidence_features(ranked, spellings, sounds, reading)
    assert len(found) == len(FEATURES) == len(set(FEATURES))
    assert all(math.isfinite(x) for x in found)
    decision = joint_decision()
    assert 0.0 <= decision.confidence(decision.score(found)) <= 1.0


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("lead", 2.5 - -10.0),
        ("combined", 2.5),
        ("phones", -1.0),
        ("phones_each", -0.5),
        ("phones_lead", 11.0),
        ("phones_gap", -0.2),
        ("decoder_lead", 7.0),
        ("gap", -0.5),
        ("raw", -2.0),
        ("adjusted", 3.0),
        ("alike", 1.0),
        ("same", 1.0),
        ("agree", 2.0),
        ("phones_alike", 1.0),
        ("length", 2.0),
        ("free", -1.5),
        ("free_words", 1.0),
    ],
)
def test_each_number_is_what_its_name_says(name: str, value: float) -> None:
    assert named([BEST, OTHER])[name] == pytest.approx(value)


def test_an_opinion_against_lowers_agreement() -> None:
    doubted = replace(OTHER, adjusted=4.0, phones=-20.0)
    assert named([BEST, doubted])["agree"] == 1.0
    assert named([BEST, replace(doubted, phones=-0.5)])["agree"] == 0.0


def test_another_transcript_is_neither_the_same_nor_alike() -> None:
    found = named([BEST, OTHER], PhoneReading("closed", -1.0, (5, 6), -1.0))
    assert found["same"] == 0.0
    assert found["alike"] < 0.5
    assert found["phones_alike"] == 0.0


def test_an_only_candidate_leads_by_no_more_than_the_limits() -> None:
    found = named([BEST])
    assert found["lead"] <= 20.0
    assert found["phones_lead"] <= 15.0
    assert found["decoder_lead"] <= 12.0


@pytest.mark.parametrize(
    ("text", "words"),
    [("On.", "on"), ("  Cross-feed,  OFF!", "cross feed off"), ("29.92", "2992"), ("—", "")],
)
def test_plain_words(text: str, words: str) -> None:
    assert plain_words(text) == words == plain_words(words)


@settings(deadline=None)
@given(LOGS, LOGS)
def test_a_phrase_likely_on_noise_counts_for_less(raw: float, noise: float) -> None:
    found = noise_adjusted(raw, noise)
    assert found == pytest.approx(max(raw, WORST) - PRIOR * max(noise, WORST))
    assert found >= noise_adjusted(raw, min(noise + 1.0, 0.0))


@settings(deadline=None)
@given(st.floats(-1e300, 1e300))
def test_logistic_is_half_a_hyperbolic_tangent(score: float) -> None:
    """1 / (1 + e^-x) = (1 + tanh(x / 2)) / 2, by the definition of tanh; it never overflows."""
    assert logistic_curve(score) == pytest.approx((1.0 + math.tanh(score / 2)) / 2, abs=1e-12)


def test_the_shipped_decision_has_a_weight_for_each_number_and_a_strict_threshold() -> None:
    decision = shipped_decision()
    assert len(decision.weights) == len(NETWORK)
    assert 0.5 < decision.threshold < 1.0


@settings(deadline=None)
@given(st.lists(st.floats(-50, 50), min_size=len(NETWORK), max_size=len(NETWORK)))
def test_the_score_is_the_weighted_sum(evidence: list[float]) -> None:
    decision = EmbeddedDecision(0.5, tuple(range(len(NETWORK))), 0.8)
    wanted = 0.5 + sum(i * x for i, x in enumerate(evidence))
    assert decision.score(tuple(evidence)) == pytest.approx(wanted)


@pytest.mark.parametrize("length", [0, len(NETWORK) - 1, len(NETWORK) + 1])
def test_evidence_of_another_length_is_refused(length: int) -> None:
    with pytest.raises(ValueError, match="zip"):
        shipped_decision().score((0.0,) * length)
