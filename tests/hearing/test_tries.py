"""A reply said again is weighed with the try before it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.hearing.embedded.evidence import PhraseScore
from callout.hearing.embedded.tries import SHARE, AttemptMemory

ODDS = st.floats(-60, 60)


def led_by(text: str) -> list[PhraseScore]:
    other = "off" if text == "on" else "on"
    return [PhraseScore(text, -1.0, 2.0, -1.0), PhraseScore(other, -8.0, -6.0, -9.0)]


@given(ODDS)
def test_a_first_try_stands_alone(score: float) -> None:
    weighed = AttemptMemory().weigh(led_by("on"), score)
    assert (weighed.text, weighed.score) == ("on", score)


@given(ODDS, ODDS)
def test_agreement_adds_a_share_and_never_takes_away(first: float, second: float) -> None:
    tries = AttemptMemory().after(led_by("on"), first)
    weighed = tries.weigh(led_by("on"), second)
    assert weighed.text == "on"
    assert weighed.score == pytest.approx(second + SHARE * max(first, 0.0))
    assert weighed.score >= second


def test_two_hopeful_tries_are_worth_more_than_either() -> None:
    assert AttemptMemory().after(led_by("on"), 1.0).weigh(led_by("on"), 1.1).score > 1.1


@given(ODDS, ODDS)
def test_a_change_of_leader_never_raises_the_score(first: float, second: float) -> None:
    weighed = AttemptMemory().after(led_by("on"), first).weigh(led_by("off"), second)
    assert weighed.text == "off"
    assert weighed.score <= second


@given(st.lists(st.tuples(st.sampled_from(["on", "off"]), ODDS), min_size=1, max_size=6))
def test_evidence_is_only_ever_that_of_the_unbroken_run_of_one_leader(
    said: list[tuple[str, float]],
) -> None:
    """Whatever was tried before the leader changed is forgotten."""
    tries, run = AttemptMemory(), AttemptMemory()
    for text, score in said:
        run = run if run.leader in ("", text) else AttemptMemory()
        weighed, alone = tries.weigh(led_by(text), score), run.weigh(led_by(text), score)
        assert weighed == alone
        tries, run = (t.after(led_by(text), weighed.score) for t in (tries, run))


@given(st.lists(st.floats(-60, 0), min_size=1, max_size=10))
def test_doubt_repeated_is_still_doubt(scores: list[float]) -> None:
    """No number of tries that speak against the leader makes it likelier."""
    tries = AttemptMemory()
    for score in scores:
        weighed = tries.weigh(led_by("on"), score)
        assert weighed.score <= max(scores)
        tries = tries.after(led_by("on"), weighed.score)


def test_tries_are_summed_for_each_phrase_and_not_changed_in_place() -> None:
    before = AttemptMemory()
    once = before.after(led_by("on"), 0.5)
    twice = once.after(led_by("on"), 0.7)
    assert before == AttemptMemory()
    best, other = led_by("on")
    assert once.combined == {"on": best.combined, "off": other.combined}
    assert twice.combined["on"] == pytest.approx(2 * best.combined)
    assert (twice.leader, twice.score) == ("on", 0.7)
