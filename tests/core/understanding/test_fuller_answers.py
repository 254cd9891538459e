"""Fuller ways to say an answer: right ones, with rivals beside them that are not."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from callout.app.list_files.typed_replies import TypedQuestion, expectation_of, labelled_in
from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.model.candidates import Candidate, CandidateRole
from callout.core.model.expectation import Expectation
from callout.core.model.verdict import Verdict
from callout.core.understanding.fuller_answers import CONTRARIES, SLIPS, WAYS, FullerReplies

TABLES = default_tables()
LABELLED = Path(__file__).parents[2] / "data" / "natural_replies.jsonl"


def found(heard: str, expect: str, challenge: str = "", *wrong: str) -> tuple[Candidate, ...]:
    question = TypedQuestion("", {"expect": (expect,), "wrong": wrong}, challenge=challenge)
    return FullerReplies(expectation_of(question), TABLES)(heard)


def ways(candidates: tuple[Candidate, ...], role: CandidateRole) -> list[str]:
    return [form for c in candidates if c.role is role for form in c.forms]


@pytest.mark.parametrize(
    ("heard", "expect", "challenge", "way", "rival"),
    [
        ("Down and locked, 3 green.", "down", "Landing gear", "down and locked three green",
         "down and locked two green"),
        ("They were on board.", "on board", "Documents", "they are on board",
         "they are not on board"),
        ("Switch to close.", "closed", "Bus tie", "switched to closed", "switched to open"),
        ("Closed and lashed.", "closed", "Doors", "closed and latched", "closed and unlatched"),
        ("Blocked fastened.", "locked, fastened", "Harnesses", "locked fastened",
         "unlocked fastened"),
    ],
)  # fmt: skip
def test_what_was_nearly_heard_is_listened_for_and_what_would_be_wrong_beside_it(
    heard: str, expect: str, challenge: str, way: str, rival: str
) -> None:
    candidates = found(heard, expect, challenge)
    assert way in ways(candidates, CandidateRole.ACCEPTED)
    assert rival in ways(candidates, CandidateRole.CONTRAST)


def test_talk_that_is_nothing_like_an_answer_gives_nothing() -> None:
    assert not found("Could you pass me the map please", "down", "Landing gear")
    assert not found("", "down", "Landing gear")
    assert not FullerReplies(Expectation(()), TABLES)("on")


def test_what_is_wrong_there_is_a_rival_and_never_a_way() -> None:
    candidates = found("It's off.", "on", "Beacon", "off")
    assert "it's off" in ways(candidates, CandidateRole.CONTRAST)
    assert "it's off" not in ways(candidates, CandidateRole.ACCEPTED)


@cache
def _sample() -> tuple[TypedQuestion, ...]:
    return tuple(question for _, question in labelled_in(LABELLED))[::37]


def test_every_way_is_right_every_rival_is_not_and_both_are_few() -> None:
    """On labelled replies as transcripts, right and wrong (every 37th of the file)."""
    for question in _sample():
        expected = expectation_of(question)
        candidates = FullerReplies(expected, TABLES)(question.reply)
        right = ways(candidates, CandidateRole.ACCEPTED)
        rivals = ways(candidates, CandidateRole.CONTRAST)
        assert len(right) <= WAYS
        assert len(rivals) <= CONTRARIES + SLIPS
        texts = {answer.text for answer in expected.accepted}
        assert {c.text for c in candidates if c.role is CandidateRole.ACCEPTED} <= texts
        for form in right:
            assert judge_reply(form, expected, TABLES).verdict is Verdict.MATCH, (question, form)
        for form in rivals:
            assert judge_reply(form, expected, TABLES).verdict is not Verdict.MATCH, (
                question,
                form,
            )


def test_a_reply_labelled_wrong_is_never_one_of_the_ways() -> None:
    rows = [json.loads(line) for line in LABELLED.read_text().splitlines()]
    wrong = [row for row in rows if row["label"] != "match"][::25]
    for row in wrong:
        plain = " ".join(row["reply"].casefold().replace(",", "").split())
        expect = row["expect"] if isinstance(row["expect"], list) else [row["expect"]]
        answers = tuple(parse_answer(text, TABLES) for text in expect)
        near = FullerReplies(Expectation(answers, challenge=row.get("challenge", "")), TABLES)
        assert plain not in ways(near(row["reply"]), CandidateRole.ACCEPTED), row


def test_what_was_written_down_is_listened_for_where_it_says_something_wrong() -> None:
    rivals = ways(found("Free and correct not.", "free and correct"), CandidateRole.CONTRAST)
    assert rivals[0] == "free and correct not"
    unclear = ways(found("Free and correct nuts.", "free and correct"), CandidateRole.CONTRAST)
    assert "free and correct nuts" not in unclear
