"""Quantities stated while a list is open, and items asked again although already done."""

from __future__ import annotations

from callout.core.checklist_run import records as r
from callout.core.checklist_run.asking import ask_question, repeat_asked
from callout.core.checklist_run.causes import Choice, Question, Why
from callout.core.checklist_run.fact_dialogue import change_plan, planned_with
from callout.core.checklist_run.turn import Turn
from callout.core.model.commands import Found, plain_words
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.planning.plan import PlannedItem
from callout.core.planning.stated_quantity import Given, find_given, told_given
from callout.core.sentences import set_up


def given_in(turn: Turn, words: str) -> Given | None:
    """Return the quantity that words state, or None.

    A quantity that the current item asks for is never a statement: there it is a reply.
    """
    setting = turn.context.setting
    if setting is None:
        return None
    context, item = turn.context, turn.progress.item
    flight = setting.flight_with(turn.progress.facts, turn.progress.given)
    names, fillers = flight.quantities, context.commands.fillers
    given = find_given(words, names, flight, context.tables, fillers)
    own = setting.quantities_of(item.id) if item and not turn.progress.held else ()
    return None if given is None or given.name in own else given


def statement_of(turn: Turn, utterance: Utterance) -> Given | None:
    """Return the quantity that an utterance states, sure or not."""
    sure = utterance.sure and utterance.text
    return given_in(turn, sure or utterance.transcript or utterance.text)


def take_or_offer(turn: Turn, given: Given, utterance: Utterance) -> None:
    """Read a number back before it counts, if it was heard rather than typed."""
    if utterance.source is ReplySource.KEYBOARD:
        take_given(turn, given, utterance)
    elif not turn.progress.held and not turn.progress.question:
        offer_given(turn, given, utterance)


def take_given(turn: Turn, given: Given, utterance: Utterance | None) -> None:
    """Apply a stated quantity, and plan the open items again."""
    if utterance:
        turn.set(heard=utterance, verdict=None)
    turn.cut()
    said = _offer_words(turn, given)
    plan = planned_with(turn, said, given=given)
    if plan:
        before = turn.progress
        turn.record(r.QuantityStated(given=given, utterance=utterance))
        change_plan(turn, before, plan, utterance.words if utterance else "", said=said)


def offer_given(turn: Turn, given: Given, utterance: Utterance) -> None:
    """Read back a quantity that was not heard for certain, and ask whether it is right."""
    turn.set(heard=utterance, verdict=None)
    turn.cut()
    turn.record(r.QuantityHeard(given=given, utterance=utterance))
    ask_question(turn, Question.QUANTITY, fact=given.name)


def answer_offer(turn: Turn, choice: Choice, utterance: Utterance | None) -> None:
    """Handle the answer to that question."""
    offered = turn.progress.offered
    turn.record(r.Decided(question=Question.QUANTITY, choice=choice, utterance=utterance))
    if choice is Choice.YES and offered:
        take_given(turn, offered, None)
        return
    repeat_asked(turn, Why.CONTINUED, set_up.NOTHING_CHANGED)
    turn.set(sentence=set_up.NOTHING_CHANGED)


def do_anyway(turn: Turn, found: Found, utterance: Utterance) -> None:
    """Ask what was left out because it was already done: everything, or the named item."""
    done = turn.progress.done_before
    wanted = [
        item
        for item in done
        if not found.rest or plain_words(found.rest) == plain_words(item.challenge)
    ]
    if not wanted:
        said = set_up.NOTHING_DONE_EARLIER
        turn.note(set_up.not_done_earlier(found.rest) if found.rest else said)
        repeat_asked(turn, Why.ASKED)
        return
    ids, said = tuple(item.id for item in wanted), _to_be_done(wanted)
    plan = planned_with(turn, said, again=ids)
    if plan:
        before = turn.progress
        turn.record(r.WantedAgain(item_ids=ids))
        change_plan(turn, before, plan, utterance.words, said=said)


def _to_be_done(items: list[PlannedItem]) -> str:
    return set_up.asked_anyway(", ".join(item.challenge for item in items))


def _offer_words(turn: Turn, given: Given) -> str:
    setting = turn.context.setting
    assert setting
    return told_given(given, setting.flight)
