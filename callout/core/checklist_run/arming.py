"""What the ear is armed for: the current item, or a question of the session itself."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run.branch_paths import completion_call
from callout.core.checklist_run.causes import Choice, Question
from callout.core.checklist_run.flow_recall import recall_expected
from callout.core.checklist_run.flow_stages import mode_of
from callout.core.checklist_run.flow_wording import panel_expected
from callout.core.checklist_run.memory_wording import recital_expected
from callout.core.checklist_run.state import Context, Progress
from callout.core.conversation.pacing import Challenger, FlowMode
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.commands import Command
from callout.core.model.expectation import Answer, Expectation, phrase
from callout.core.model.flight import SetUpFact
from callout.core.planning.plan import PlannedItem
from callout.core.understanding.fact_phrases import spoken_answers

HOLD = "@hold"
"""Listening id while the list is on hold; the id of a question is "@" and its name."""

CHALLENGE = "@challenge"
"""Listening id while a person's challenge is awaited."""
Groups = tuple[tuple[str, ...], ...]
"""Ways to say one thing, one tuple for each thing."""
NEAR_CALLS = 3
"""Challenges of the next items to listen for while an item waits for its reply."""

CHOICES: dict[Question, tuple[Choice, ...]] = {
    Question.FLOW: (Choice.DONE,),
    Question.MEMORY: (Choice.DONE, Choice.UNKNOWN),
    Question.STOP: (Choice.YES, Choice.NO),
    Question.OPEN_ITEMS: (Choice.TAKE_NOW, Choice.LEAVE_OPEN),
    Question.SKIP_REASON: (Choice.NO,),
    Question.COMPLETION: (),
    Question.FACT: (Choice.YES, Choice.NO, Choice.UNKNOWN),
    Question.QUANTITY: (Choice.YES, Choice.NO),
}
"""Which answers settle which question."""


def choices_of(context: Context, progress: Progress, question: Question) -> tuple[Choice, ...]:
    """Return which answers settle ``question`` in this session."""
    asked = (FlowMode.QUIZ, FlowMode.RECALL)
    if question is Question.FLOW and mode_of(context, progress) in asked:
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
    if progress.awaiting:
        return CHALLENGE
    return progress.item.id if progress.item else ""


def candidates_of(context: Context, progress: Progress) -> CandidateSet:
    """Return the phrases to listen for now; none when only the keyboard replies."""
    target = target_of(progress)
    if not context.hears:
        return CandidateSet(target, ())
    expected = expectation_of(context, progress)
    idle = () if progress.done_before else (Command.DO_ANYWAY,)
    commands = context.commands if progress.held else context.commands.off_hold()
    besides = (
        *commands.without(idle).groups(),
        *((said,) for said in context.extra_phrases),
    )
    if progress.challenger is Challenger.PERSON and not progress.question:
        besides = (*besides, *((said,) for said in _near_calls(progress)))
    if progress.awaiting:
        return _with_replies(context, progress, expected, besides)
    return context.find_candidates(expected, besides, context.tables, target)


def expectation_of(context: Context, progress: Progress) -> Expectation:
    """Return what may be replied now, except commands."""
    if progress.held and progress.question is not Question.STOP:
        return Expectation(accepted=())
    if progress.question is Question.COMPLETION:
        return completion_expected(progress)
    mode = mode_of(context, progress) if progress.question is Question.FLOW else None
    if mode in (FlowMode.QUIZ, FlowMode.RECALL):
        quiz = mode is FlowMode.QUIZ
        named = panel_expected(progress) if quiz else recall_expected(progress, context.tables)
        other = _answer_phrases(context, progress, Question.FLOW)
        return replace(named, accepted=(*named.accepted, *other))
    if progress.question is Question.MEMORY:
        recited = recital_expected(progress)
        other = _answer_phrases(context, progress, progress.question)
        return replace(recited, accepted=(*recited.accepted, *other))
    if progress.question:
        fact = spoken_answers(asked_fact(context, progress))
        own = map(phrase, fact if progress.question is Question.FACT else ())
        return Expectation(accepted=(*_answer_phrases(context, progress, progress.question), *own))
    if progress.awaiting:
        calls = [phrase(progress.plan.items[n].spoken) for n in progress.open_items]
        return Expectation(accepted=(*calls, *completion_expected(progress).accepted))
    return progress.item.expectation if progress.item else Expectation(accepted=())


def asked_fact(context: Context, progress: Progress) -> SetUpFact:
    """Return the fact of the set-up that is asked for."""
    known = context.setting.flight.set_up if context.setting else {}
    return known.get(progress.fact, SetUpFact(progress.fact))


def next_called_for(progress: Progress) -> PlannedItem | None:
    """Return the item whose challenge comes next in the list."""
    due = progress.next_due
    return None if due is None else progress.plan.items[due]


def _near_calls(progress: Progress) -> tuple[str, ...]:
    coming = (n for n in progress.open_items if n != progress.current)
    return tuple(progress.plan.items[n].spoken for n in list(coming)[:NEAR_CALLS])


def _with_replies(
    context: Context, progress: Progress, expected: Expectation, besides: Groups
) -> CandidateSet:
    """Return the challenges, and the next one together with its replies, right and wrong."""
    found = context.find_candidates(expected, besides, context.tables, CHALLENGE)
    item = next_called_for(progress)
    if item is None or item.wants_value:
        return found
    replies = context.find_candidates(item.expectation, (), context.tables, CHALLENGE)
    told = {CandidateRole.ACCEPTED, CandidateRole.WRONG, CandidateRole.CONTRAST}
    joined = tuple(
        Candidate(
            f"{item.spoken} {reply.text}",
            reply.role,
            tuple(f"{item.spoken.lower()} {form}" for form in reply.forms),
        )
        for reply in replies.candidates
        if reply.role in told
    )
    return replace(found, candidates=(*found.candidates, *joined))


def completion_expected(progress: Progress) -> Expectation:
    """Return what counts as the completion call of the list."""
    own = dict.fromkeys((completion_call(progress), progress.plan.completion_call))
    short = [" ".join(w for w in call.split() if w.casefold() != "checklist") for call in own]
    calls = dict.fromkeys((*own, *short, "checklist complete"))
    return Expectation(accepted=tuple(phrase(c.rstrip(" .")) for c in calls), challenge="")


def _answer_phrases(context: Context, progress: Progress, question: Question) -> tuple[Answer, ...]:
    choices = choices_of(context, progress, question)
    said = (context.commands.answers.get(choice.value, ()) for choice in choices)
    return tuple(phrase(words) for group in said for words in group)
