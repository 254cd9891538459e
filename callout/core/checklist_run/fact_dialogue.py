"""Facts of the set-up: asked before the first item, and changed while a list is open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import (
    advance_list,
    flow_first,
    repeat_asked,
    repeat_question,
)
from callout.core.checklist_run.causes import Choice, Question, Why
from callout.core.checklist_run.state import ItemOutcome, Progress
from callout.core.checklist_run.turn import Turn
from callout.core.checklist_run.undoing import now_words, same_plan, undone_items
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.model.utterance import Utterance
from callout.core.planning.basis import changed_names
from callout.core.planning.plan import Plan
from callout.core.planning.stated_quantity import Given
from callout.core.sentences import set_up
from callout.core.understanding.fact_phrases import FactStatement, find_statement, name_of, told
from callout.errors import CalloutError

_STATES = {Choice.YES: True, Choice.NO: False, Choice.UNKNOWN: None}


def set_off(turn: Turn, title: str, *lead: str) -> None:
    """Ask for unknown facts of the set-up, then begin with the flow or the first item.

    title: said before an item or a question; a flow says it itself.
    """
    setting = turn.context.setting
    unknown = setting.unknown(turn.progress.facts) if setting else ()
    if flow_first(turn.progress) and not unknown:
        advance_list(turn, *lead)
    else:
        advance_list(turn, title, *lead)


def statement_in(turn: Turn, utterance: Utterance) -> FactStatement | None:
    """Return the fact of the set-up that words state, or None."""
    setting = turn.context.setting
    if setting is None or not utterance.sure:
        return None
    return find_statement(utterance.text, setting.flight, turn.context.commands.fillers)


def answer_fact(turn: Turn, choice: Choice, utterance: Utterance | None) -> None:
    """Handle the answer to a question about the set-up."""
    _state_fact(turn, turn.progress.fact, _STATES[choice], utterance)


def take_statement(turn: Turn, statement: FactStatement, utterance: Utterance) -> None:
    """Change the set-up and plan the open items again."""
    turn.set(heard=utterance, verdict=None)
    turn.cut()
    _state_fact(turn, statement.fact, statement.state, utterance)


def change_plan(
    turn: Turn, before: Progress, plan: Plan, words: str, *, said: str = set_up.SET_UP_CHANGED
) -> None:
    """Apply another plan: reopen what no longer holds, then go on.

    before: the progress before anything was stated.
    """
    item = turn.progress.item
    parts = [said, *work_through(turn, plan, words)]
    parts += turn.context.elsewhere(before, turn.progress)
    turn.note(f"{' '.join(parts)} {wording.what_is_left(turn.progress)}")
    same = item is not None and turn.progress.item is not None and turn.progress.item.id == item.id
    _go_on(turn, same, " ".join(parts))


def work_through(turn: Turn, plan: Plan, words: str = "") -> list[str]:
    """Record what another plan changes in the list so far; return it in sentences.

    Reopened items are recorded before the new plan: a journal that ends between the two still holds
    the old plan, and the change is applied again on resume.
    """
    setting = turn.context.setting
    flight = setting.flight if setting else EMPTY_FLIGHT
    again, not_due = undone_items(turn.progress, plan, flight), _not_due(turn.progress)
    for one in again:
        turn.record(r.Reopened(item_id=one.item_id, because=one.because))
        turn.news(set_up.item_again(one.challenge, one.because))
    turn.record(r.Replanned(plan=plan, words=words))
    dropped = drop_inapplicable(turn)
    back = [i.challenge for i in plan.items if i.id in not_due and i.applicable]
    turn.rearm()
    parts = [set_up.not_applicable_now(wording.spoken_names(dropped))] if dropped else []
    parts += [set_up.now_required(wording.spoken_names(back))] if back else []
    parts += (
        [set_up.repeat_these(wording.spoken_names([i.challenge for i in again]))] if again else []
    )
    _settle_question(turn)
    return parts


def catch_up(turn: Turn, facts: Mapping[str, bool], given: Iterable[Given]) -> str:
    """Apply what has changed while a list was paused; return it in words, empty for nothing.

    The caller says and shows it.

    facts, given: what its flight has learned. If the plan has other items than the list has now, or
    cannot be computed, the list continues unchanged.
    """
    for name, state in facts.items():
        turn.record(r.Stated(fact=name, state=state))
    for one in given:
        turn.record(r.QuantityStated(given=one))
    plan, before = _plan_now(turn), turn.progress.plan
    if plan is None or same_plan(before, plan):
        return ""
    setting = turn.context.setting
    assert setting
    names = sorted(changed_names(before.basis, plan.basis))
    now = (now_words(name, plan.basis, setting.flight) for name in names)
    since = set_up.changed_since(", ".join(filter(None, now))) if names else ""
    parts = work_through(turn, plan)
    return " ".join(filter(None, (since, *parts)))


def _plan_now(turn: Turn) -> Plan | None:
    """Return the plan as things are now; items asked in this run do not count as done before it."""
    setting, progress = turn.context.setting, turn.progress
    if setting is None:
        return None
    asked = {item.id for item in progress.plan.items if item.applicable}
    stated = (progress.facts, turn.context.tables, progress.given)
    try:
        plan = setting.plan(*stated, progress.again)
        own = tuple(i.id for i in plan.items if i.done and i.id in asked)
        plan = setting.plan(*stated, (*progress.again, *own)) if own else plan
    except CalloutError:
        return None
    same_items = [i.id for i in plan.items] == [i.id for i in progress.plan.items]
    return plan if same_items else None


def _settle_question(turn: Turn) -> None:
    """Drop a question that a change has made pointless."""
    progress = turn.progress
    pointless = {
        Question.OPEN_ITEMS: bool(progress.due_items) or not progress.parked,
        Question.COMPLETION: bool(progress.open_items),
        Question.SKIP_REASON: progress.item is None,
    }
    question = progress.question
    if question and pointless.get(question):
        turn.record(r.Decided(question=question, choice=Choice.NO))


def _not_due(progress: Progress) -> set[str]:
    pairs = zip(progress.plan.items, progress.items, strict=True)
    gone = ((p.id, i) for p, i in pairs if i.outcome is ItemOutcome.NOT_APPLICABLE)
    return {name for name, item in gone if not item.dropped_by}


def drop_inapplicable(turn: Turn) -> tuple[str, ...]:
    """Give items that do not apply their outcome; return their challenges."""
    dropped = []
    for planned, item in zip(turn.progress.plan.items, turn.progress.items, strict=True):
        if item.open and not planned.applicable:
            turn.record(r.NotApplicable(item_id=planned.id, condition=planned.why_not))
            turn.news(wording.why_dropped(planned))
            dropped.append(planned.challenge)
    return tuple(dropped)


def set_up_lines(turn: Turn) -> tuple[str, ...]:
    """Return the facts this list asks about, and their present values."""
    setting = turn.context.setting
    if setting is None:
        return ()
    flight = setting.flight_with(turn.progress.facts)
    states = {True: "yes", False: "no", None: "not known"}
    return tuple(f"{name_of(n)}: {states[flight.facts.get(n)]}" for n in setting.facts())


def planned_with(
    turn: Turn,
    said: str,
    *,
    facts: Mapping[str, bool | None] | None = None,
    given: Given | None = None,
    again: tuple[str, ...] = (),
) -> Plan | None:
    """Return the plan with what is stated now; if it is unusable, say so and return None."""
    setting, progress = turn.context.setting, turn.progress
    assert setting
    figures = [one for one in progress.given if given is None or one.name != given.name]
    try:
        return setting.plan(
            {**progress.facts, **(facts or {})},
            turn.context.tables,
            [*figures, *([given] if given else [])],
            (*progress.again, *again),
        )
    except CalloutError as error:
        turn.note(set_up.not_accepted_because(said, error.message, error.hint).strip())
        _go_on(turn, True, set_up.not_accepted(said).strip())
        return None


def _state_fact(turn: Turn, fact: str, state: bool | None, utterance: Utterance | None) -> None:
    asked = turn.progress.question is Question.FACT
    said = "" if state is None else told(FactStatement(fact, state))
    plan = planned_with(turn, said, facts={fact: state})
    if plan is None:
        return
    before = turn.progress
    turn.record(r.Stated(fact=fact, state=state, utterance=utterance))
    if asked and turn.progress.position is None:
        turn.record(r.Replanned(plan=plan))
        drop_inapplicable(turn)
        parts = (said, *turn.context.elsewhere(before, turn.progress))
        turn.note(" ".join(parts))
        set_off(turn, "", *parts)
    else:
        change_plan(turn, before, plan, utterance.words if utterance else "", said=said)


def _go_on(turn: Turn, same: bool, said: str) -> None:
    """Say that the set-up changed, then repeat what is open now."""
    sentence = turn.moment.sentence
    if turn.progress.held:
        turn.say(said)
    elif turn.progress.question:
        repeat_question(turn, said)
    elif same:
        repeat_asked(turn, Why.CONTINUED, said)
        turn.set(sentence=sentence)
    else:
        advance_list(turn, said)
        turn.set(sentence=sentence)
