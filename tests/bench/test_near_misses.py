"""What is said to find out which wrong replies are taken for right."""

from __future__ import annotations

from pathlib import Path

from callout.app.shared.tables import default_tables
from callout.bench.lists import list_replies
from callout.bench.longer.near_misses import OPPOSITES, Kind, tries
from callout.core.judging.judge import judge_reply
from callout.core.model.verdict import Verdict

LISTS = Path(__file__).parents[2] / "checklists" / "sandling-two"
REPLIES = [*list_replies([LISTS], wrong=True)]


def test_each_is_right_or_wrong_as_the_judge_takes_it() -> None:
    found = [*tries(REPLIES)]
    assert {one.kind for one in found} == set(Kind)
    for one in found:
        verdict = judge_reply(one.reply.said, one.reply.expectation, default_tables()).verdict
        assert (verdict is Verdict.MATCH) == one.right == (one.kind is Kind.RIGHT)


def test_they_are_the_same_each_time_and_others_for_another_seed() -> None:
    first, again, other = ([(t.kind, t.reply.said) for t in tries(REPLIES, s)] for s in (1, 1, 2))
    assert first == again != other


def test_only_answers_of_several_words_are_tried() -> None:
    rights = [one for one in tries(REPLIES) if one.kind is Kind.RIGHT]
    assert rights
    assert all(" " in one.reply.said for one in rights)


def test_opposites_go_both_ways() -> None:
    assert all(OPPOSITES[b] == a for a, b in OPPOSITES.items())
