"""Conditions against Kleene's strong three-valued logic."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.model.conditions import (
    ConditionInvalid,
    both_conditions,
    condition_applies,
    parse_condition,
)
from callout.core.model.flight import EMPTY_FLIGHT, Flight

TRUTHS = (True, False, None)

# S. C. Kleene, Introduction to Metamathematics (1952), section 64: strong tables (from memory).
AND = {
    (True, True): True, (True, False): False, (True, None): None,
    (False, True): False, (False, False): False, (False, None): False,
    (None, True): None, (None, False): False, (None, None): None,
}  # fmt: skip
OR = {
    (True, True): True, (True, False): True, (True, None): True,
    (False, True): True, (False, False): False, (False, None): None,
    (None, True): True, (None, False): None, (None, None): None,
}  # fmt: skip


def flight(**facts: bool | None) -> Flight:
    given_flight = EMPTY_FLIGHT
    for name, state in facts.items():
        given_flight = given_flight.with_fact(name, state)
    return given_flight


@pytest.mark.parametrize("left", TRUTHS)
@pytest.mark.parametrize("right", TRUTHS)
def test_and_or_follow_kleene(left: bool | None, right: bool | None) -> None:
    facts = flight(night=left, icing=right)
    assert condition_applies(parse_condition("night and icing"), facts) is AND[left, right]
    assert condition_applies(parse_condition("night or icing"), facts) is OR[left, right]


@pytest.mark.parametrize(("fact", "negated"), [(True, False), (False, True), (None, None)])
def test_not(fact: bool | None, negated: bool | None) -> None:
    assert condition_applies(parse_condition("not night"), flight(night=fact)) is negated


def test_no_condition_always_applies() -> None:
    assert condition_applies(None, EMPTY_FLIGHT) is True


def test_an_undeclared_fact_is_unknown() -> None:
    assert condition_applies(parse_condition("night"), EMPTY_FLIGHT) is None


@pytest.mark.parametrize(
    ("text", "same_as"),
    [
        ("night and not turnaround", "night and (not turnaround)"),
        ("not night and icing", "(not night) and icing"),
        ("night or icing and ferry", "night or (icing and ferry)"),
        ("NIGHT And Icing", "night and icing"),
        ("  night\n and  icing ", "night and icing"),
    ],
)
def test_binding_and_spelling(text: str, same_as: str) -> None:
    assert parse_condition(text).term == parse_condition(same_as).term


def test_facts_are_named_in_order_once() -> None:
    assert parse_condition("night and (icing or not night)").facts == ("night", "icing")


def test_both_holds_when_each_does() -> None:
    night, icing = parse_condition("night"), parse_condition("icing or ferry")
    joined = both_conditions(night, icing)
    assert joined is not None
    assert joined.term == parse_condition(joined.text).term
    assert condition_applies(joined, flight(night=True, icing=True)) is True
    assert (
        both_conditions(None, icing),
        both_conditions(night, None),
        both_conditions(None, None),
    ) == (icing, night, None)


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "night icing", "night &", "night && icing", "(night", "night)", "not", "and", "or",
        "night or", "f(night)", "night()", "1", "night == icing", "night if icing else ferry",
        "lambda: night", "night.icing", "__import__('os')", "night, icing", "[night]", "night # x",
        "none of", "é", "night\x00", "(" * 150, "not " * 60, "x" * 300, "if", "night is icing",
        "night in icing", "night and not", "()",
    ],
)  # fmt: skip
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ConditionInvalid):
        parse_condition(text)


TERMS = st.recursive(
    st.sampled_from(["night", "icing", "ferry"]),
    lambda inner: st.one_of(
        inner.map(lambda t: f"not ({t})"),
        st.tuples(inner, st.sampled_from(["and", "or"]), inner).map(
            lambda t: f"({t[0]}) {t[1]} ({t[2]})"
        ),
    ),
    max_leaves=6,
)


@settings(deadline=None)
@given(TERMS, st.booleans(), st.booleans(), st.booleans())
def test_two_valued_facts_agree_with_python(
    text: str, night: bool, icing: bool, ferry: bool
) -> None:
    facts = {"night": night, "icing": icing, "ferry": ferry}
    if len(text) <= 200:
        expected = eval(text, {"__builtins__": {}}, facts)
        assert condition_applies(parse_condition(text), flight(**facts)) is expected


@settings(deadline=None)
@given(TERMS, st.sampled_from(TRUTHS), st.sampled_from(TRUTHS), st.sampled_from(TRUTHS))
def test_learning_a_fact_never_turns_an_answer_round(
    text: str, night: bool | None, icing: bool | None, ferry: bool | None
) -> None:
    if len(text) > 200:
        return
    condition = parse_condition(text)
    before = condition_applies(condition, flight(night=night, icing=icing, ferry=ferry))
    if before is not None:
        filled = {"night": night or False, "icing": icing or False, "ferry": ferry or False}
        assert condition_applies(condition, flight(**filled)) is before


@pytest.mark.parametrize(
    "text", ["passengers_boarding_with_fuelling, night", "a" * 199 + "!", "a b " * 49 + "-"]
)
def test_a_long_name_before_a_wrong_sign_is_refused_at_once(text: str) -> None:
    """Matching goes through the text once; it never tries names in another way."""
    with pytest.raises(ConditionInvalid):
        parse_condition(text)
