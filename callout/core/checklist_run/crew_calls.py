"""Two people: one challenges, the other responds, and the tool checks both."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.arming import completion_expected, next_called_for
from callout.core.checklist_run.asking import complete_list
from callout.core.checklist_run.causes import Question, Why
from callout.core.checklist_run.state import Progress
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import Challenger
from callout.core.judging.judge import judge_reply
from callout.core.model.commands import plain_words, without_fillers
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import checklist as sentences
from callout.core.sentences import conversation


@dataclass(frozen=True, slots=True)
class CrewCall:
    """A challenge given by a person, and anything said after it in the same breath."""

    index: int
    """Index of the item in the plan."""
    rest: str = ""


def find_challenge(turn: Turn, utterance: Utterance) -> CrewCall | None:
    """Return which open item ``utterance`` challenges, or None; whole words only.

    If two items have the same challenge, the next one in the list is meant.
    """
    progress = turn.progress
    if progress.challenger is not Challenger.PERSON or not utterance.sure:
        return None
    words = utterance.text.split()
    fillers = turn.context.commands.fillers
    for count in range(len(words), 0, -1):
        said = "".join(without_fillers(plain_words(" ".join(words[:count])), fillers))
        index = _of_words(progress, said)
        if index is not None:
            return CrewCall(index, " ".join(words[count:]))
    return None


def take_crew_call(turn: Turn, call: CrewCall, utterance: Utterance) -> None:
    """Take a challenge: name the items it passes over, then listen for the reply."""
    progress = turn.progress
    item = progress.plan.items[call.index]
    again = progress.current == call.index
    passed = () if again else _passed_over(progress, call.index)
    unanswered = progress.item if progress.current is not None and not again else None
    turn.record(
        r.Challenged(
            item_id=item.id,
            why=Why.CALLED,
            round=progress.round,
            utterance=utterance,
            passed_over=tuple(progress.plan.items[n].id for n in passed),
        )
    )
    turn.cut()
    turn.set(heard=utterance, verdict=None, options=(), lines=(), sentence="")
    turn.set(shown_at=turn.stamp.at, reminded=False)
    if not again:
        turn.time_anew()
    turn.news(f"[{call.index + 1}/{len(progress.plan.items)}] {item.challenge}? (called)")
    remark = _remark_on(turn, item, unanswered, passed)
    if remark:
        turn.tell(remark)  # the person may reply as soon as it ends
    else:
        turn.over()


def await_words(turn: Turn, utterance: Utterance) -> None:
    """Handle words that challenge no item while a challenge is awaited."""
    turn.set(heard=utterance, verdict=None)
    judged = judge_reply(utterance.text, completion_expected(turn.progress), turn.context.tables)
    if utterance.sure and judged.verdict is Verdict.MATCH:
        _not_yet(turn, utterance)
        return
    due = next_called_for(turn.progress)
    if due is None:
        return
    turn.record(r.Remarked(item_id=due.id, utterance=utterance))
    if utterance.source is ReplySource.KEYBOARD:
        turn.note(sentences.not_on_this_list(due.challenge))
    else:
        turn.set(sentence=conversation.SIDE_REMARK)
        turn.news(conversation.after_side_remark(wording.heard_line(utterance)))


def _not_yet(turn: Turn, utterance: Utterance) -> None:
    """Refuse a completion call while items are open."""
    left = turn.progress.open_items
    if not left:
        complete_list(turn, utterance=utterance)
        return
    turn.record(r.Misunderstood(question=Question.COMPLETION, utterance=utterance))
    names = wording.spoken_names(wording.challenges_of(turn.progress, left))
    turn.cut()
    turn.tell(sentences.not_complete(names))


def _remark_on(
    turn: Turn, item: PlannedItem, unanswered: PlannedItem | None, passed: tuple[int, ...]
) -> str:
    missing = wording.missing_now(turn.progress, item)
    parts = [sentences.not_answered(unanswered.challenge)] if unanswered else []
    names = wording.spoken_names(wording.challenges_of(turn.progress, passed))
    parts += [sentences.not_challenged(names)] if names else []
    parts += [f"Caution: {text}" for text in item.cautions]
    parts += [wording.not_known(missing)] if missing else []
    return " ".join(parts)


def _passed_over(progress: Progress, index: int) -> tuple[int, ...]:
    """Return the open items before ``index`` that nobody has challenged."""
    due = (n for n in progress.open_items if n < index)
    return tuple(n for n in due if not progress.items[n].asked and n not in progress.parked)


def _of_words(progress: Progress, said: str) -> int | None:
    for n in progress.open_items:
        item = progress.plan.items[n]
        if said and any(
            said == "".join(plain_words(form)) for form in (item.spoken, item.challenge)
        ):
            return n
    return None
