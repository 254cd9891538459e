"""What a session says about an item, and what it does not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact
from callout.core.drill.evidence import Grade, Weakness, reviews_of
from callout.core.drill.exercise import Mode
from callout.core.drill.exercises import exercises_of
from callout.core.judging.judge import judge_reply
from callout.core.model.verdict import Verdict
from tests.core.drill.drill_kit import BEGAN, TABLES, exercises, picks

FACT = ItemFact(
    "s1", BEGAN, "X", "S", "l", "", "i", 3, "C", outcome=ItemOutcome.ANSWERED, asked=1, tries=1,
    reply_seconds=2.0, first_time=True,
)  # fmt: skip


@pytest.mark.parametrize(
    ("fact", "grade", "weakness"),
    [
        (FACT, Grade.RIGHT, Weakness.NONE),
        (replace(FACT, deviations=(Deviation.MISMATCHED,)), Grade.MISSED, Weakness.WRONG),
        (replace(FACT, deviations=(Deviation.TOO_FAST,)), Grade.DOUBTFUL, Weakness.FAST),
        (
            replace(FACT, skipped=True, skip_reason="already done", outcome=ItemOutcome.SKIPPED,
                    deviations=(Deviation.OMITTED,)),
            Grade.MISSED, Weakness.OMITTED,
        ),
        (replace(FACT, unclear=2, first_time=False), Grade.RIGHT, Weakness.NONE),
    ],
)  # fmt: skip
def test_a_session_is_graded(fact: ItemFact, grade: Grade, weakness: Weakness) -> None:
    (found,) = reviews_of([fact])
    assert (found.grade, found.weakness) == (grade, weakness)


@pytest.mark.parametrize(
    "fact",
    [
        replace(FACT, outcome=ItemOutcome.NOT_APPLICABLE, asked=0),
        replace(FACT, outcome=None, asked=0),
        replace(FACT, outcome=None, asked=1),
        replace(FACT, skipped=True, skip_reason="Inoperative.", outcome=ItemOutcome.SKIPPED,
                deviations=(Deviation.OMITTED,)),
    ],
)  # fmt: skip
def test_what_says_nothing_of_the_person_is_no_review(fact: ItemFact) -> None:
    assert not list(reviews_of([fact]))


@pytest.mark.parametrize(
    ("weakness", "modes"),
    [
        (Weakness.OMITTED, {Mode.NEXT_ITEM}),
        (Weakness.FAST, {Mode.WRONG_STATE}),
    ],
)
def test_the_exercise_suits_what_goes_wrong(weakness: Weakness, modes: set[Mode]) -> None:
    found = exercises_of(picks(weakness), None, "seed", TABLES)
    assert {exercise.mode for exercise in found} == modes


@pytest.mark.parametrize("mode", list(Mode))
@pytest.mark.parametrize("seed", ["a", "b", "c"])
def test_every_exercise_takes_its_answer_and_no_contrary_one(mode: Mode, seed: str) -> None:
    for exercise in exercises(mode, seed):
        replies = [exercise.answer]
        if exercise.mode is Mode.WRONG_STATE:
            replies += ["wrong", f"wrong, {exercise.answer}"] if exercise.then else ["right"]
        for reply in replies:
            assert judge_reply(reply, exercise.expectation, TABLES).verdict is Verdict.MATCH, reply
        for wrong in exercise.expectation.wrong:
            found = judge_reply(wrong.answer.text, exercise.expectation, TABLES)
            assert found.verdict is Verdict.MISMATCH, wrong.answer.text


def test_a_state_said_to_be_wrong_is_wrong_to_the_judge() -> None:
    for seed in "abcdef":
        for exercise in exercises(Mode.WRONG_STATE, seed):
            if exercise.mode is Mode.WRONG_STATE:
                stated = exercise.spoken.removesuffix(". Right or wrong?").rsplit(": ", 1)[1]
                own = exercise.then or exercise.expectation
                wanted = Verdict.MISMATCH if exercise.then else Verdict.MATCH
                assert judge_reply(stated, own, TABLES).verdict is wanted, exercise.prompt
