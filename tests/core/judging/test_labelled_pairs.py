"""The table of labelled replies: every one is judged as labelled."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from callout.bench.judging import LEAST_ACCEPTED, JudgingCase, judge_pairs
from tests.data.make_judging_pairs import every_pair, unique

TABLE = Path(__file__).parents[2] / "data" / "judging_pairs.jsonl"


@pytest.fixture(scope="module")
def cases() -> list[JudgingCase]:
    return judge_pairs(TABLE)


def test_no_wrong_reply_is_accepted(cases: list[JudgingCase]) -> None:
    assert [c for c in cases if c.accepted and not c.right] == []


def test_right_replies_are_accepted(cases: list[JudgingCase]) -> None:
    right = [c for c in cases if c.right]
    assert sum(c.accepted for c in right) >= LEAST_ACCEPTED * len(right)


def test_refusals_are_mismatch_or_unclear_as_labelled(cases: list[JudgingCase]) -> None:
    assert [(c.expect, c.reply, c.found.code) for c in cases if c.failed] == []


def test_the_table_is_large_and_half_of_it_near_misses(cases: list[JudgingCase]) -> None:
    kinds = Counter(c.right for c in cases)
    assert sum(kinds.values()) >= 1500
    assert kinds[False] >= kinds[True]
    assert len({c.family for c in cases}) >= 12


def test_the_file_is_what_the_rules_make() -> None:
    written = [json.loads(line) for line in TABLE.read_text(encoding="utf-8").splitlines()]
    assert written == list(unique(every_pair()))
