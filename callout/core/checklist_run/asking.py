"""Puts items and questions to the crew, one after the other."""

from __future__ import annotations

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.arming import asked_fact, choices_of
from callout.core.checklist_run.branch_paths import completion_call
from callout.core.checklist_run.causes import Ending, Question, Why
from callout.core.checklist_run.flow_stages import mode_of
from callout.core.checklist_run.flow_wording import flow_lines, flow_words
from callout.core.checklist_run.memory_wording import memory_words, unsaid_items
from callout.core.checklist_run.state import ItemProgress, Progress
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import Challenger, CompletionBy, MemoryMode
from callout.core.model.checklist import Method
from callout.core.model.counting import counted_noun
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.model.utterance import Utterance
from callout.core.planning.stated_quantity import told_given
from callout.core.sentences import checklist as sentences
from callout.core.understanding.fact_phrases import question_of


def advance_list(turn: Turn, *lead: str) -> None:
    """Go to what comes next: set-up, flow, an item, a deferred item, or the end of the list."""
    progress = turn.progress
    due = progress.next_due
    first = _comes_first(turn)
    if first:
        ask_question(turn, first[0], *lead, fact=first[1])
    elif due is not None and progress.challenger is Challenger.PERSON and not progress.round:
        await_challenge(turn, due, *lead)
    elif due is not None:
        challenge_item(turn, due, _why_asked(progress.items[due]), *lead)
    elif progress.parked and progress.round == 0:
        back = sentences.NOW_THE_DEFERRED
        turn.news(back)
        challenge_item(turn, progress.parked[0], Why.RETURNED, *lead, back, later=1)
    elif progress.parked:
        ask_question(turn, Question.OPEN_ITEMS, *lead)
    elif _person_completes(turn):
        ask_question(turn, Question.COMPLETION, *lead)
    else:
        turn.say(*lead)
        complete_list(turn)


def _why_asked(item: ItemProgress) -> Why:
    if item.reason:  # it was settled, and a change undid that
        return Why.REOPENED
    return Why.RETURNED if item.deferred else Why.NEXT


def _comes_first(turn: Turn) -> tuple[Question, str] | None:
    """Return the question to settle before the first item: set-up, then flow."""
    progress, setting = turn.progress, turn.context.setting
    if progress.position is not None or progress.round:
        return None
    unknown = setting.unknown(progress.facts) if setting else ()
    if unknown:
        return Question.FACT, unknown[0].name
    if memory_first(turn):
        return Question.MEMORY, ""
    return (Question.FLOW, "") if flow_first(progress) else None


def flow_first(progress: Progress) -> bool:
    """Say whether a flow is still due before the first item."""
    plan = progress.plan
    return plan.method is Method.FLOW_THEN_VERIFY and bool(plan.flow) and not progress.flow_done


def memory_first(turn: Turn) -> bool:
    """Say whether memory items are still to be recited."""
    progress = turn.progress
    by_tool = progress.challenger is Challenger.TOOL
    wanted = turn.context.pacing.memory is MemoryMode.RECALL and by_tool
    return wanted and not progress.memory.done and bool(unsaid_items(progress))


def _person_completes(turn: Turn) -> bool:
    by_person = turn.context.pacing.completion_by is CompletionBy.PERSON
    return by_person or turn.progress.challenger is Challenger.PERSON


def await_challenge(turn: Turn, due: int, *lead: str) -> None:
    """Listen for a person's challenge; the tool itself says nothing about the item."""
    item = turn.progress.plan.items[due]
    turn.say(*lead)
    turn.news(*lead, sentences.your_challenge(item.challenge))
    turn.set(lines=(), options=(), sentence=" ".join(lead), asked_at=None)
    turn.time_anew()


def challenge_item(turn: Turn, index: int, why: Why, *lead: str, later: int = 0) -> None:
    """Challenge one item: record it, show it, say it."""
    item = turn.progress.plan.items[index]
    turn.record(r.Challenged(item_id=item.id, why=why, round=turn.progress.round + later))
    fresh = why in (Why.NEXT, Why.RETURNED, Why.REOPENED)
    cautions = tuple(f"Caution: {text}" for text in item.cautions) if fresh else ()
    missing = wording.missing_now(turn.progress, item)
    unknown = (wording.not_known(missing),) if missing and fresh else ()
    turn.say(*lead, *cautions, wording.challenge_words(item), *unknown)
    turn.news(*cautions, _challenge_line(turn, index), *unknown)
    turn.set(reminded=why is Why.SILENCE, lines=())
    if fresh:
        turn.set(options=())
    if why not in (Why.SILENCE, Why.ASKED):  # a repeat must not shorten the reply time
        turn.time_anew()
    if why is not Why.SILENCE:
        turn.set(sentence=" ".join((*lead, *unknown)))


def ask_question(turn: Turn, question: Question, *lead: str, fact: str = "") -> None:
    """Ask a question of the session itself."""
    item = turn.progress.item
    turn.record(r.Asked(question=question, item_id=item.id if item else "", fact=fact))
    turn.set(missed=0)
    repeat_question(turn, *lead)


def repeat_question(turn: Turn, *lead: str) -> None:
    """Say and show the open question, once or again."""
    assert turn.progress.question is not None
    sentence = question_words(turn, turn.progress.question)
    turn.say(*lead, sentence)
    turn.news(sentence)
    turn.set(reminded=False, options=(), lines=_question_lines(turn), sentence=sentence)


def repeat_asked(turn: Turn, why: Why, *lead: str) -> None:
    """Repeat the open question or the current item; if nothing is open, move on."""
    if turn.progress.question:
        repeat_question(turn, *lead)
    elif turn.progress.current is not None:
        challenge_item(turn, turn.progress.current, why, *lead)
    else:
        advance_list(turn, *lead)


def question_words(turn: Turn, question: Question) -> str:
    """Return a question as it is said and shown."""
    progress = turn.progress
    name = progress.item.challenge if progress.item else progress.plan.title
    match question:
        case Question.FLOW:
            return flow_words(progress, mode_of(turn.context, progress))
        case Question.MEMORY:
            return memory_words(progress)
        case Question.SKIP_REASON:
            return sentences.skip_reason_wanted(name)
        case Question.STOP:
            left = counted_noun(len(progress.open_items), "item")
            return sentences.stop_the_list(progress.plan.title, left)
        case Question.OPEN_ITEMS:
            names = wording.spoken_names(wording.challenges_of(progress, progress.parked))
            return sentences.deferred_still_open(names)
        case Question.COMPLETION:
            return sentences.completion_wanted(wording.remainder_words(progress))
        case Question.FACT:
            return question_of(asked_fact(turn.context, progress))
        case Question.QUANTITY:
            setting, offered = turn.context.setting, progress.offered
            flight = setting.flight if setting else EMPTY_FLIGHT
            return sentences.is_that_right(told_given(offered, flight) if offered else "")


def answer_hint(turn: Turn) -> str:
    """Return what would answer the open question, if its own words do not say."""
    table, question = turn.context.commands, turn.progress.question
    if question is None or question is Question.OPEN_ITEMS:
        return ""
    if question is Question.COMPLETION:
        return sentences.say_completion(completion_call(turn.progress).rstrip(" .").lower())
    choices = (choice.value for choice in choices_of(turn.context, turn.progress, question))
    said = [f'"{table.answers[name][0]}"' for name in choices if table.answers.get(name)]
    return (
        sentences.say_one_of(" or ".join(filter(None, (", ".join(said[:-1]), said[-1]))))
        if said
        else ""
    )


def complete_list(turn: Turn, utterance: Utterance | None = None) -> None:
    """Give the completion call and end the session."""
    call = wording.completion_words(turn.progress)
    end_list(turn, Ending.COMPLETED, call, utterance)
    turn.tell(call)


def end_list(
    turn: Turn, ending: Ending, call: str = "", utterance: Utterance | None = None
) -> None:
    """End the list; items without an outcome are recorded as left open."""
    progress = turn.progress
    plan = progress.plan
    unanswered = (*progress.open_items, *wording.left_open(progress))
    turn.record(
        r.Ended(
            ending=ending,
            open_items=tuple(plan.items[n].id for n in sorted(unanswered)),
            skipped=tuple(plan.items[n].id for n in wording.skipped_items(progress)),
            call=call,
            utterance=utterance,
        )
    )
    turn.set(lines=(), options=())
    turn.finish()


def _challenge_line(turn: Turn, index: int) -> str:
    item = turn.progress.plan.items[index]
    role = wording.role_words(item.role)
    marks = [mark for mark in (role, "critical" if item.critical else "") if mark]
    extra = f" ({', '.join(marks)})" if marks else ""
    return f"[{index + 1}/{len(turn.progress.plan.items)}] {item.challenge}?{extra}"


def _question_lines(turn: Turn) -> tuple[str, ...]:
    if turn.progress.question is Question.OPEN_ITEMS:
        return wording.left_lines(turn.progress)
    if turn.progress.question is not Question.FLOW:
        return ()
    return flow_lines(turn.progress, mode_of(turn.context, turn.progress))
