"""Conditions solved by tables, against going through every set-up one by one."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.core.lint.truth_tables import TooManyFacts, is_always, is_possible, one_implies
from callout.core.model.conditions import Condition, condition_applies, parse_condition

NAMES = ("night", "icing", "solo", "ifr")
terms = st.recursive(
    st.sampled_from(NAMES),
    lambda inner: st.one_of(
        inner.map(lambda t: f"not ({t})"),
        st.tuples(inner, st.sampled_from(["and", "or"]), inner).map(
            lambda t: f"({t[0]}) {t[1]} ({t[2]})"
        ),
    ),
    max_leaves=6,
)
conditions = terms.map(parse_condition)


@dataclass(frozen=True)
class SetUp:
    facts: dict[str, bool | None]


SET_UPS = [
    SetUp(dict(zip(NAMES, states, strict=True))) for states in product([True, False], repeat=4)
]


@given(conditions, conditions)
def test_tables_agree_with_every_set_up(one: Condition, other: Condition) -> None:
    both = [(condition_applies(one, s), condition_applies(other, s)) for s in SET_UPS]
    assert is_possible(one, other) == any(a and b for a, b in both)
    assert is_always(one) == all(a for a, _ in both)
    assert one_implies(one, other) == all(b for a, b in both if a)


def test_no_condition_is_always_possible() -> None:
    assert is_possible(None, None)
    assert not is_possible(None, parse_condition("night and not night"))


def test_sixteen_facts_are_solved_and_seventeen_refused() -> None:
    names = [f"f{n}" for n in range(17)]
    assert is_possible(parse_condition(" and ".join(names[:16])))
    assert not is_always(parse_condition(" or ".join(names[:16])))
    with pytest.raises(TooManyFacts):
        is_possible(parse_condition(" or ".join(names)))
