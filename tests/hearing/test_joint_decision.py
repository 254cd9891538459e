"""Two ways to be sure: the network alone where nothing speaks against it, or all opinions."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.hearing.embedded.decision import EmbeddedDecision
from callout.hearing.embedded.evidence import FEATURES, NETWORK
from callout.hearing.embedded.joint_decision import JointDecision, joint_decision, more_words

CERTAIN = EmbeddedDecision(9.0, (0.0,) * len(NETWORK), 0.85)
DECISION = JointDecision(0.0, (0.0,) * len(FEATURES), 0.9, 0.97, network=CERTAIN)


def evidence(lead: float, sound_lead: float) -> tuple[float, ...]:
    known = {"lead": lead, "sound_lead": sound_lead}
    return tuple(known.get(name, 0.0) for name in FEATURES)


def test_the_network_alone_counts_where_its_phrase_leads_by_sound_too() -> None:
    assert DECISION.by_network(evidence(1.0, 1.0), 0.0) > 0.99


@pytest.mark.parametrize(("lead", "sound_lead"), [(-0.1, 3.0), (3.0, -0.1), (-1.0, -1.0)])
def test_it_counts_for_nothing_where_another_phrase_leads(lead: float, sound_lead: float) -> None:
    assert DECISION.by_network(evidence(lead, sound_lead), 50.0) == 0.0


def test_what_an_earlier_try_adds_counts_for_the_network_too() -> None:
    doubtful = JointDecision(
        0.0, DECISION.weights, network=EmbeddedDecision(0.0, CERTAIN.weights, 0.85)
    )
    assert doubtful.by_network(evidence(1.0, 1.0), 0.0) == pytest.approx(0.5)
    assert doubtful.by_network(evidence(1.0, 1.0), 2.0) > 0.85


@pytest.mark.parametrize(
    ("joint", "alone", "more", "enough"),
    [
        (0.91, 0.0, False, True),
        (0.89, 0.0, False, False),
        (0.91, 0.0, True, False),
        (0.98, 0.0, True, True),
        (0.2, 0.86, True, True),
        (0.89, 0.84, False, False),
    ],
)
def test_one_of_the_two_must_suffice(joint: float, alone: float, more: bool, enough: bool) -> None:
    assert DECISION.suffices(joint, alone, more) is enough


STRICTER = replace(DECISION, agreeing=0.7)


@pytest.mark.parametrize(("joint", "enough"), [(0.69, False), (0.71, True), (0.95, True)])
def test_the_network_alone_does_not_suffice_where_all_together_doubt(
    joint: float, enough: bool
) -> None:
    assert STRICTER.suffices(joint, 0.99, False) is enough


@given(st.floats(0, 1), st.floats(0, 1))
def test_what_is_doubted_is_no_surer_than_the_network_must_be(joint: float, alone: float) -> None:
    told = STRICTER.confidence_of(joint, alone)
    assert joint <= told <= max(joint, alone)
    assert told <= max(joint, CERTAIN.threshold) or joint >= STRICTER.agreeing


@given(st.floats(0, 1), st.floats(0, 1))
def test_what_suffices_among_others_suffices_without_them(joint: float, alone: float) -> None:
    shipped = joint_decision()
    assert shipped.suffices(joint, alone, False) or not shipped.suffices(joint, alone, True)


def test_what_is_shipped_is_as_strict_as_the_network_alone() -> None:
    shipped = joint_decision()
    assert len(shipped.weights) == len(FEATURES)
    assert shipped.network.threshold <= shipped.threshold <= shipped.among_others < 1.0
    assert 0.5 < shipped.agreeing < shipped.threshold


@pytest.mark.parametrize(
    ("transcript", "ways", "more"),
    [
        ("on", {"on"}, False),
        ("uh on", {"on"}, False),
        ("i was on time", {"on"}, True),
        ("closed and locked", {"closed and locked"}, False),
        ("one zero one three", {"1013", "one zero one three"}, False),
        ("", set(), False),
    ],
)
def test_more_words_than_the_reply_has(transcript: str, ways: set[str], more: bool) -> None:
    assert more_words(transcript, ways) is more
