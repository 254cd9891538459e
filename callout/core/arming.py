"""What the ear is armed for: the current item, or a question of the session's own."""

from __future__ import annotations

from dataclasses import replace

from callout.core.candidates import CandidateSet
from callout.core.causes import Choice, Question
from callout.core.expectation import Answer, Expectation, phrase
from callout.core.flow_wording import panel_expected
from callout.core.pacing import FlowMode
from callout.core.state import Context, Progress

HOLD = "@hold"
"""Listening id while the list is held; questions are "@" and their name."""

CHOICES: dict[Question, tuple[Choice, ...]] = {
    Question.FLOW: (Choice.DONE,),
    Question.STOP: (Choice.YES, Choice.NO),
    Question.OPEN_ITEMS: (Choice.TAKE_NOW, Choice.LEAVE_OPEN),
    Question.SKIP_REASON: (Choice.NO,),
    Question.COMPLETION: (),
    Question.FACT: (Choice.YES, Choice.NO, Choice.UNKNOWN),
}
"""Which answers settle which question."""


def choices_of(context: Context, question: Question) -> tuple[Choice, ...]:
    """Return which answers settle ``question`` in this session."""
    if question is Question.FLOW and context.pacing.flow is FlowMode.QUIZ:
        return (Choice.UNKNOWN,)
    return CHOICES[question]


def target_of(progress: Progress) -> str:
    """Return the id of what is listened for; empty when nothing is."""
    if progress.ending or progress.suspended or not progress.session_id:
        return ""
    if progress.held and progress.question is not Question.STOP:
        return HOLD
    if progress.question:
        return f"@{progress.question.value}"
    return progress.item.id if progress.item else ""


def candidates_of(context: Context, progress: Progress) -> CandidateSet:
    """Return the phrases to listen for now; none when only the keyboard replies."""
    target = target_of(progress)
    if not context.hears:
        return CandidateSet(target, ())
    expected = expectation_of(context, progress)
    besides = (*context.commands.phrases(), *context.extra_phrases)
    return context.find_candidates(expected, besides, context.tables, target)


def expectation_of(context: Context, progress: Progress) -> Expectation:
    """Return what may be replied now, commands aside."""
    if progress.held and progress.question is not Question.STOP:
        return Expectation(accepted=())
    if progress.question is Question.COMPLETION:
        return completion_expected(progress)
    if progress.question is Question.FLOW and context.pacing.flow is FlowMode.QUIZ:
        panels = panel_expected(progress)
        other = _answers(context, progress.question)
        return replace(panels, accepted=(*panels.accepted, *other))
    if progress.question:
        return Expectation(accepted=_answers(context, progress.question))
    return progress.item.expectation if progress.item else Expectation(accepted=())


def completion_expected(progress: Progress) -> Expectation:
    """Return what counts as the completion call of the list."""
    call = progress.plan.completion_call
    short = " ".join(word for word in call.split() if word.casefold() != "checklist")
    calls = dict.fromkeys((call, short, "checklist complete"))
    return Expectation(accepted=tuple(phrase(c.rstrip(" .")) for c in calls), challenge="")


def _answers(context: Context, question: Question) -> tuple[Answer, ...]:
    said = (
        context.commands.answers.get(choice.value, ()) for choice in choices_of(context, question)
    )
    return tuple(phrase(words) for group in said for words in group)
