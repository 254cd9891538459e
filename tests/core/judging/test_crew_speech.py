"""What crews say to shipped items and round an answer: accepted where it agrees, else refused.

The labels are our own (natural_replies.txt, fuller_replies.txt); no published table of such replies
is known to us.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest

from callout.app.list_files.typed_replies import TypedQuestion, expectation_of, labelled_in
from callout.app.shared.tables import default_tables
from callout.bench.judging import JudgingCase, judge_pairs
from callout.core.judging.judge import judge_reply
from callout.core.language.words import words_of
from callout.core.model.verdict import Verdict
from tests.data.make_natural_replies import NAMES, pairs_of

DATA = Path(__file__).parents[2] / "data"
FILES = [DATA / f"{name}.jsonl" for name in NAMES]
TABLES = default_tables()
LEAST = 0.92
"""Share of right natural replies that must be accepted."""


@pytest.fixture(scope="module", params=FILES, ids=lambda path: path.stem)
def cases(request: pytest.FixtureRequest) -> list[JudgingCase]:
    return judge_pairs(request.param)


def test_no_wrong_reply_is_accepted(cases: list[JudgingCase]) -> None:
    assert [(c.expect, c.reply) for c in cases if c.accepted and not c.right] == []


def test_most_right_replies_are_accepted(cases: list[JudgingCase]) -> None:
    right = [c for c in cases if c.right]
    assert len(right) >= 600
    assert sum(c.accepted for c in right) >= LEAST * len(right)


def test_the_files_are_what_the_texts_make() -> None:
    for name, path in zip(NAMES, FILES, strict=True):
        written = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
        assert written == list(pairs_of(name))


@cache
def _refused() -> list[tuple[TypedQuestion, str]]:
    out = []
    for path in (*FILES, DATA / "judging_pairs.jsonl"):
        for _, question in labelled_in(path):
            found = judge_reply(question.reply, expectation_of(question), TABLES)
            if found.verdict is not Verdict.MATCH:
                out.append((question, found.reason))
    return out


def test_no_reason_says_that_the_right_number_was_expected_instead_of_itself() -> None:
    for question, reason in _refused():
        same = re.search(r"[Hh]eard (\S+), expected (\S+?)\.?$", reason)
        assert same is None or same[1] != same[2], (question.reply, reason)


def test_what_a_reason_says_was_heard_was_said() -> None:
    for question, reason in _refused():
        heard = re.match(r'Heard "([^"]*)"; this item wants', reason)
        if heard:
            said = " ".join(" ".join(words_of(question.reply, TABLES)).split())
            due = " ".join(" ".join(words_of(heard[1], TABLES)).split())
            plain = said.replace(" one ", " ")  # "left one off" says "left off"
            told = (said, said.replace(" ", ""), plain)
            assert any(due in text for text in told), (question.reply, reason)


def test_sides_are_only_called_exchanged_when_exchanging_them_makes_it_right() -> None:
    other = {"left": "right", "right": "left"}
    seen = 0
    for question, reason in _refused():
        if "Left and right are swapped" in reason:
            turned = re.sub(r"\b(left|right)\b", lambda m: other[m[1].lower()], question.reply)
            found = judge_reply(turned, expectation_of(question), TABLES)
            assert found.verdict is Verdict.MATCH, (question.reply, reason)
            seen += 1
    assert seen > 20
