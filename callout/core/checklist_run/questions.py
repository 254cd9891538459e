"""Answers to the session's own questions."""

from __future__ import annotations

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.arming import asked_fact, choices_of, completion_expected
from callout.core.checklist_run.asking import (
    advance_list,
    answer_hint,
    complete_list,
    end_list,
    repeat_asked,
    repeat_question,
)
from callout.core.checklist_run.causes import Choice, Ending, Question, Why
from callout.core.checklist_run.fact_dialogue import answer_fact
from callout.core.checklist_run.flow_stages import mode_of
from callout.core.checklist_run.flows import flow_step, recall_control, recall_panel
from callout.core.checklist_run.memory import memory_step, recite_item
from callout.core.checklist_run.quantity_dialogue import answer_offer
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import FlowMode
from callout.core.judging.judge import judge_reply
from callout.core.model.commands import find_answer
from callout.core.model.counting import counted_noun
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict
from callout.core.sentences import checklist as sentences
from callout.core.understanding.fact_phrases import find_answer_to

HINT_FROM = 2
"""Number of misunderstood answers after which the tool says what would be an answer."""


def choice_in(turn: Turn, utterance: Utterance) -> Choice | None:
    """Return which answer to the open question the words give, or None."""
    question = turn.progress.question
    if question is None or not utterance.sure:
        return None
    names = tuple(choice.value for choice in choices_of(turn.context, turn.progress, question))
    found = find_answer(utterance.text, turn.context.commands, names)
    if found is None and question is Question.FACT:
        return _fact_choice(turn, utterance)
    return Choice(found) if found else None


def _fact_choice(turn: Turn, utterance: Utterance) -> Choice | None:
    """Return what words answer about the fact in question ("it is night")."""
    fact = asked_fact(turn.context, turn.progress)
    state = find_answer_to(utterance.text, fact, turn.context.commands.fillers)
    return None if state is None else Choice.YES if state else Choice.NO


def decide_question(turn: Turn, choice: Choice, utterance: Utterance | None) -> None:
    """Settle the open question."""
    question = turn.progress.question
    match question, choice:
        case Question.FLOW, _:
            flow_step(turn, choice, utterance)
        case Question.MEMORY, _:
            memory_step(turn, choice, utterance)
        case Question.STOP, Choice.YES:
            turn.record(r.Decided(question=question, choice=choice, utterance=utterance))
            _stop_list(turn)
        case ((Question.STOP | Question.SKIP_REASON), _):
            turn.record(r.Decided(question=question, choice=Choice.NO, utterance=utterance))
            _go_on(turn)
        case Question.FACT, _:
            answer_fact(turn, choice, utterance)
        case Question.QUANTITY, _:
            answer_offer(turn, choice, utterance)
        case Question.OPEN_ITEMS, _:
            turn.record(r.Decided(question=question, choice=choice, utterance=utterance))
            advance_list(turn)


def other_words(turn: Turn, utterance: Utterance) -> None:
    """Handle words that are none of a question's fixed answers."""
    match turn.progress.question:
        case Question.SKIP_REASON:
            _take_reason(turn, utterance)
        case Question.COMPLETION:
            _completion_call(turn, utterance)
        case Question.MEMORY:
            recite_item(turn, utterance)
        case Question.FLOW if mode_of(turn.context, turn.progress) is FlowMode.QUIZ:
            recall_panel(turn, utterance)
        case Question.FLOW if mode_of(turn.context, turn.progress) is FlowMode.RECALL:
            recall_control(turn, utterance)
        case Question() as question:
            _misunderstood_answer(turn, question, utterance)


def skip_item(turn: Turn, reason: str, utterance: Utterance | None) -> None:
    """Skip the current item with its reason, and move on."""
    item = turn.progress.item
    assert item is not None
    turn.record(r.Skipped(item_id=item.id, reason=reason, utterance=utterance))
    said = sentences.skipped(item.challenge, reason.rstrip(" .") or "no reason given")
    turn.news(said)
    advance_list(turn, said)
    turn.set(sentence=said)


def question_unanswered(turn: Turn) -> None:
    """Silence after a question: settle harmless questions, repeat the others once."""
    progress = turn.progress
    item = progress.item
    if progress.question is Question.SKIP_REASON and item and not item.critical:
        skip_item(turn, "", None)
    elif progress.question in (Question.STOP, Question.QUANTITY):
        decide_question(turn, Choice.NO, None)
    else:
        repeat_question(turn)
        turn.set(reminded=True)


def _take_reason(turn: Turn, utterance: Utterance) -> None:
    reason = " ".join((utterance.transcript or utterance.text).split())
    item = turn.progress.item
    if item is None:
        advance_list(turn)
    elif not reason:
        repeat_question(turn)
    else:
        skip_item(turn, reason, utterance)


def _completion_call(turn: Turn, utterance: Utterance) -> None:
    judged = judge_reply(utterance.text, completion_expected(turn.progress), turn.context.tables)
    if utterance.sure and judged.verdict is Verdict.MATCH:
        complete_list(turn, utterance=utterance)
        return
    _misunderstood_answer(turn, Question.COMPLETION, utterance)


def _misunderstood_answer(turn: Turn, question: Question, utterance: Utterance) -> None:
    """Repeat the question; from the second time on, say what would be an answer."""
    turn.record(r.Misunderstood(question=question, utterance=utterance))
    turn.set(missed=turn.moment.missed + 1)
    hint = answer_hint(turn) if turn.moment.missed >= HINT_FROM else ""
    repeat_question(turn, hint)
    if hint:
        turn.news(hint)
        turn.set(sentence=f"{hint} {turn.moment.sentence}")


def _stop_list(turn: Turn) -> None:
    left = counted_noun(len(turn.progress.open_items), "item")
    end_list(turn, Ending.STOPPED)
    turn.tell(sentences.stopped_incomplete(turn.progress.plan.title, left))


def _go_on(turn: Turn) -> None:
    if turn.progress.held:
        turn.tell(wording.holding_at(turn.progress))
    else:
        repeat_asked(turn, Why.CONTINUED)
