"""A reply said again is weighed with the try before it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.hearing.embedded.joint_decision import joint_decision
from callout.hearing.embedded.tries import SHARE, AttemptMemory, WeighedTry

ODDS = st.floats(-60, 60)
LEADS = st.floats(-20, 20)


def on(score: float, lead: float = 3.0) -> WeighedTry:
    return WeighedTry("on", score, lead)


@given(ODDS, LEADS)
def test_a_first_try_stands_alone(score: float, lead: float) -> None:
    assert AttemptMemory().weigh(on(score, lead)) == on(score, lead)


@given(ODDS, ODDS, LEADS, LEADS)
def test_agreement_adds_a_share_and_never_takes_away(
    first: float, second: float, before: float, now: float
) -> None:
    weighed = AttemptMemory.of(on(first, before)).weigh(on(second, now))
    assert weighed.text == "on"
    assert weighed.score == pytest.approx(second + SHARE * max(first, 0.0))
    assert weighed.lead == pytest.approx(now + SHARE * max(before, 0.0))
    assert weighed.score >= second
    assert weighed.lead >= now


def test_two_hopeful_tries_are_worth_more_than_either() -> None:
    weighed = AttemptMemory.of(on(1.0, 3.6)).weigh(on(1.1, 3.8))
    assert weighed.score > 1.1
    assert weighed.lead > 3.8


@given(ODDS, ODDS)
def test_a_change_of_leader_adds_nothing(first: float, second: float) -> None:
    latest = WeighedTry("off", second, 1.0)
    assert AttemptMemory.of(on(first)).weigh(latest) == latest


@given(st.lists(st.floats(-20, 1.1), min_size=1, max_size=30))
def test_small_leads_over_the_contrary_never_become_a_large_one(leads: list[float]) -> None:
    """However often it is said, a reply that is hardly told from its contrary is not taken."""
    tries = AttemptMemory()
    for lead in leads:
        weighed = tries.weigh(on(0.0, lead))
        assert not joint_decision().leads_enough(weighed.lead, agreed=False)
        tries = AttemptMemory.of(weighed)


@given(st.lists(st.tuples(st.sampled_from(["on", "off"]), ODDS), min_size=1, max_size=6))
def test_evidence_is_only_ever_that_of_the_unbroken_run_of_one_leader(
    said: list[tuple[str, float]],
) -> None:
    """Whatever was tried before the leader changed is forgotten."""
    tries, run = AttemptMemory(), AttemptMemory()
    for text, score in said:
        run = run if run.leader in ("", text) else AttemptMemory()
        latest = WeighedTry(text, score, 1.0)
        weighed, alone = tries.weigh(latest), run.weigh(latest)
        assert weighed == alone
        tries = run = AttemptMemory.of(weighed)


@given(st.lists(st.floats(-60, 0), min_size=1, max_size=10))
def test_doubt_repeated_is_still_doubt(scores: list[float]) -> None:
    """No number of tries that speak against the leader makes it likelier."""
    tries = AttemptMemory()
    for score in scores:
        weighed = tries.weigh(on(score))
        assert weighed.score <= max(scores)
        tries = AttemptMemory.of(weighed)
