"""Facts of the set-up: asked for before the first item, and changed while a list is open."""

from __future__ import annotations

from callout.core import journal_records as r
from callout.core import wording
from callout.core.asking import advance, flow_first, repeat, repeat_question
from callout.core.causes import Choice, Question, Why
from callout.core.plan import Plan
from callout.core.set_up import Statement, find_statement, name_of, told
from callout.core.state import Outcome, Progress
from callout.core.turn import Turn
from callout.core.utterance import Utterance
from callout.errors import CalloutError

_STATES = {Choice.YES: True, Choice.NO: False, Choice.UNKNOWN: None}


def set_off(turn: Turn, title: str, *lead: str) -> None:
    """Ask for what the set-up leaves open, then begin with the flow or the first item.

    title: said before an item or a question; a flow says it itself.
    """
    setting = turn.context.setting
    unknown = setting.unknown(turn.progress.facts) if setting else ()
    if flow_first(turn.progress) and not unknown:
        advance(turn, *lead)
    else:
        advance(turn, title, *lead)


def statement_in(turn: Turn, utterance: Utterance) -> Statement | None:
    """Return the fact of the set-up that words state, or None."""
    setting = turn.context.setting
    if setting is None or not utterance.sure:
        return None
    return find_statement(utterance.text, setting.flight, turn.context.commands.fillers)


def answer_fact(turn: Turn, choice: Choice, utterance: Utterance | None) -> None:
    """Take the answer to a question about the set-up."""
    _state(turn, turn.progress.fact, _STATES[choice], utterance)


def take_statement(turn: Turn, statement: Statement, utterance: Utterance) -> None:
    """Change the set-up and plan anew what is still open."""
    turn.set(heard=utterance, verdict=None)
    turn.cut()
    _state(turn, statement.fact, statement.state, utterance)


def change_plan(turn: Turn, plan: Plan, words: str, *, said: str = "Set-up changed.") -> None:
    """Work with another plan for what is still open, and go on."""
    item, not_due = turn.progress.item, _not_due(turn.progress)
    turn.record(r.Replanned, plan=plan, words=words)
    dropped = drop(turn)
    back = [i.challenge for i in plan.items if i.id in not_due and i.applicable]
    parts = [said]
    parts += [f"Not applicable: {wording.named(dropped)}."] if dropped else []
    parts += [f"Now to be done: {wording.named(back)}."] if back else []
    turn.rearm()
    turn.note(f"{' '.join(parts)} {wording.what_is_left(turn.progress)}")
    same = item is not None and turn.progress.item is not None and turn.progress.item.id == item.id
    _go_on(turn, same, " ".join(parts))


def _not_due(progress: Progress) -> set[str]:
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return {planned.id for planned, item in pairs if item.outcome is Outcome.NOT_APPLICABLE}


def drop(turn: Turn) -> tuple[str, ...]:
    """Give items that do not apply their outcome; return their challenges."""
    dropped = []
    for planned, item in zip(turn.progress.plan.items, turn.progress.items, strict=True):
        if item.open and not planned.applicable:
            turn.record(r.NotApplicable, item_id=planned.id, condition=planned.why_not)
            turn.news(wording.dropped(planned))
            dropped.append(planned.challenge)
    return tuple(dropped)


def set_up_lines(turn: Turn) -> tuple[str, ...]:
    """Return the facts this list asks about, and what they are now."""
    setting = turn.context.setting
    if setting is None:
        return ()
    flight = setting.flight_with(turn.progress.facts)
    states = {True: "yes", False: "no", None: "not known"}
    return tuple(f"{name_of(n)}: {states[flight.facts.get(n)]}" for n in setting.facts())


def _state(turn: Turn, fact: str, state: bool | None, utterance: Utterance | None) -> None:
    setting = turn.context.setting
    assert setting
    asked = turn.progress.question is Question.FACT
    turn.record(r.Stated, fact=fact, state=state, utterance=utterance)
    said = "" if state is None else told(Statement(fact, state))
    try:
        progress = turn.progress
        plan = setting.plan(progress.facts, turn.context.tables, progress.given, progress.again)
    except CalloutError as error:
        turn.note(f"{said} {error.message} {error.hint}".strip())
        return
    if asked and turn.progress.position is None:
        turn.record(r.Replanned, plan=plan)
        drop(turn)
        turn.note(said)
        set_off(turn, "", said)
    else:
        change_plan(turn, plan, utterance.words if utterance else "", said=said)


def _go_on(turn: Turn, same: bool, said: str) -> None:
    """Say that the set-up changed, then put what is open now."""
    sentence = turn.moment.sentence
    if turn.progress.held:
        turn.say(said)
    elif turn.progress.question:
        repeat_question(turn, said)
    elif same:
        repeat(turn, Why.CONTINUED, said)
        turn.set(sentence=sentence)
    else:
        advance(turn, said)
        turn.set(sentence=sentence)
