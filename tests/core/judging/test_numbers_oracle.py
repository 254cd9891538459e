"""Spoken numbers against num2words, an independent library, over thousands of values."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest
from num2words import num2words

from callout.core.judging.judge import judge_reply
from callout.core.language.tables import Tables
from callout.core.model.expectation import Answer, Expectation, Value
from callout.core.model.verdict import Verdict

WHOLE = [*range(1200), *random.Random(3).sample(range(1200, 1_000_000), 1500)]


def heard_as(words: str, number: Decimal, tables: Tables) -> bool:
    """True when ``words`` are accepted for ``number``."""
    expectation = Expectation((Answer((Value(number),), str(number)),))
    return judge_reply(words, expectation, tables).verdict is Verdict.MATCH


def test_whole_numbers(tables: Tables) -> None:
    missed = [n for n in WHOLE if not heard_as(num2words(n), Decimal(n), tables)]
    assert missed == []


def test_neighbours_are_refused(tables: Tables) -> None:
    near = random.Random(5)
    for n in WHOLE[::2]:
        for other in {n + 1, n * 10, n + 10, abs(n - 100), near.randrange(1_000_000)} - {n}:
            assert not heard_as(num2words(other), Decimal(n), tables), (n, other)


@pytest.mark.parametrize("year", range(1001, 3000, 7))
def test_numbers_in_pairs(tables: Tables, year: int) -> None:
    assert heard_as(num2words(year, to="year"), Decimal(year), tables)


def test_decimals_and_negatives(tables: Tables) -> None:
    for hundredths in range(1, 4000, 37):
        number = Decimal(hundredths) / 100
        assert heard_as(num2words(number), number, tables)
        if number >= 1:  # the library itself drops the sign below one
            assert heard_as(num2words(-number), -number, tables)
        assert not heard_as(num2words(number), -number, tables)
