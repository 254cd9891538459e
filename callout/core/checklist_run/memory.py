"""Memory items: recited without a challenge, in order, judged and timed."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import advance_list, repeat_question
from callout.core.checklist_run.causes import Choice, Question
from callout.core.checklist_run.memory_wording import in_words, names_of, unsaid_items
from callout.core.checklist_run.state import Progress
from callout.core.checklist_run.turn import Turn
from callout.core.judging.judge import judge_reply
from callout.core.language.tables import Tables
from callout.core.model.expectation import Expectation
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import flow as sentences
from callout.core.understanding.control_names import without_name

MOST_MISSES = 2
"""Wrong replies before the due item is revealed."""
UNNAMED = "unnamed"
"""Words that name no control, and fit the position of more than one or none."""
EARLY = "early"
"""An item was said before its turn."""
_WHICH = sentences.SAY_CONTROL


@dataclass(frozen=True, slots=True)
class Recital:
    """What the words mean among the items done from memory."""

    item: PlannedItem
    judged: Judgement


def find_recital(progress: Progress, words: str, tables: Tables) -> Recital | None:
    """Return which remaining item ``words`` recite, and how; None for none.

    A control that is named is judged by its own position. Words that name none must be the reply to
    one item only: "off" alone is not enough where two controls go off.
    """
    due = unsaid_items(progress)
    named = [(item, rest) for item in due if (rest := after_name(item, words)) is not None]
    if named:
        item, rest = min(named, key=lambda pair: len(pair[1]))
        return Recital(item, judge_reply(rest, expectation_alone(item), tables))
    fitting = [(item, judge_reply(words, expectation_alone(item), tables)) for item in due]
    right = [(item, found) for item, found in fitting if found.verdict is Verdict.MATCH]
    return Recital(*right[0]) if len(right) == 1 else None


def expectation_alone(item: PlannedItem) -> Expectation:
    """Return what an item expects without its neighbours."""
    expected = item.expectation
    return Expectation(
        accepted=expected.accepted,
        wrong=expected.wrong,
        challenge=expected.challenge,
        actual_status=True,
        contrasts=expected.contrasts,
        synonyms=expected.synonyms,
    )


def recite_item(turn: Turn, said: Utterance) -> None:
    """Handle words while memory items are recited."""
    due = unsaid_items(turn.progress)
    if not due:
        finish_recital(turn, None)
        return
    found = find_recital(turn.progress, said.text, turn.context.tables) if said.sure else None
    if found is None:
        _note_recital(turn, due[0], said, Judgement(Verdict.UNCLEAR, UNNAMED, _WHICH))
        repeat_question(turn, _WHICH)
        turn.set(sentence=f"{wording.heard_line(said)} {_WHICH}")
    elif found.item.id != due[0].id:
        _recited_early(turn, due[0], found.item, said)
    elif found.judged.verdict is Verdict.MATCH:
        _recited_right(turn, found, said)
    else:
        _recited_wrong(turn, found, said)


def memory_step(turn: Turn, choice: Choice, said: Utterance | None) -> None:
    """Handle "done", or an admission that the next one is not known."""
    due = unsaid_items(turn.progress)
    if choice is Choice.UNKNOWN and due:
        _prompt_item(turn, due[0])
    else:
        finish_recital(turn, said)


def finish_recital(turn: Turn, said: Utterance | None, *lead: str) -> None:
    """End the recital; items left out are challenged by the list."""
    turn.record(r.Decided(question=Question.MEMORY, choice=Choice.DONE, utterance=said))
    memory, plan = turn.progress.memory, turn.progress.plan
    timed = sentences.memory_items_in(memory.seconds) if memory.seconds is not None else ""
    names = wording.spoken_names([i.challenge for i in plan.items if i.id in memory.left_out])
    left = sentences.not_recited(names) if names else ""
    turn.news(timed, left)
    advance_list(turn, *lead, left)
    turn.set(sentence=" ".join(filter(None, (*lead, timed, left))))


def _recited_right(turn: Turn, found: Recital, said: Utterance) -> None:
    _note_recital(turn, found.item, said, found.judged)
    sentence = sentences.recited(found.item.challenge, found.judged.reply)
    turn.news(f"Right: {sentence}")
    if unsaid_items(turn.progress):
        turn.set(sentence=sentence, reminded=False)
        turn.set(asked_at=turn.stamp.at, shown_at=turn.stamp.at)
        turn.rearm()
    else:
        finish_recital(turn, None)


def _recited_wrong(turn: Turn, found: Recital, said: Utterance) -> None:
    judged = found.judged
    _note_recital(turn, found.item, said, judged)
    heard = wording.heard_line(said)
    wrong = judged.verdict is Verdict.MISMATCH
    _once_more(turn, found.item, f"{heard} {'That is not its position.' if wrong else _WHICH}")


def _recited_early(turn: Turn, due: PlannedItem, other: PlannedItem, said: Utterance) -> None:
    judged = Judgement(Verdict.MISMATCH, EARLY, sentences.item_comes_first(other.challenge))
    _note_recital(turn, due, said, judged, early=other.id)
    _once_more(turn, due, judged.reason)


def _once_more(turn: Turn, due: PlannedItem, sentence: str) -> None:
    turn.news(sentence)
    if turn.progress.memory.misses >= MOST_MISSES:
        _prompt_item(turn, due, sentence)
    else:
        repeat_question(turn, sentence)
        turn.set(sentence=sentence)


def _prompt_item(turn: Turn, due: PlannedItem, *lead: str) -> None:
    turn.record(r.Prompted(item_id=due.id))
    told = sentences.item_is(in_words(due))
    turn.news(told)
    if unsaid_items(turn.progress):
        repeat_question(turn, *lead, told)
        turn.set(sentence=" ".join((*lead, told)))
    else:
        finish_recital(turn, None, *lead, told)


def _note_recital(
    turn: Turn, due: PlannedItem, said: Utterance, judged: Judgement, *, early: str = ""
) -> None:
    began = turn.progress.memory.began
    turn.record(
        r.Recited(
            item_id=due.id,
            utterance=said,
            verdict=judged.verdict,
            code=judged.code,
            reply=judged.reply or "",
            seconds=None if began is None else round(max(0.0, turn.stamp.at - began), 3),
            early=early,
        )
    )
    turn.cut()
    turn.tone(judged.verdict)
    turn.set(heard=said, verdict=judged.verdict, lines=())


def after_name(item: PlannedItem, words: str) -> str | None:
    """Return ``words`` without the name of the control; None if they do not contain it."""
    return without_name(names_of(item), words)
