"""Replies: separated from commands and side remarks, judged, and acted on."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import advance_list, challenge_item
from callout.core.checklist_run.branching import go_on, judge_way
from callout.core.checklist_run.causes import NOT_SET, Question, Why
from callout.core.checklist_run.controls import obey_command
from callout.core.checklist_run.crew_calls import (
    CrewCall,
    await_words,
    find_challenge,
    take_crew_call,
)
from callout.core.checklist_run.fact_dialogue import statement_in, take_statement
from callout.core.checklist_run.quantity_dialogue import statement_of, take_or_offer
from callout.core.checklist_run.questions import choice_in, decide_question, other_words
from callout.core.checklist_run.refusal import NOT_KNOWN, WRONG_SEAT, ask_again, refuse_mismatch
from callout.core.checklist_run.said_and_set import (
    also_set,
    held_against,
    not_set,
    seen_at,
    speech_alone,
)
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import Challenger, seat_of
from callout.core.judging.judge import judge_reply
from callout.core.model.checklist import Role
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import checklist as sentences
from callout.core.sentences import conversation
from callout.core.state.proving import Found
from callout.core.understanding.hearing_verdict import Weighed, command_in, weigh_utterance

_SEATS = {Role.PILOT_FLYING, Role.PILOT_MONITORING, Role.LEFT_SEAT, Role.RIGHT_SEAT}


def take_utterance(turn: Turn, utterance: Utterance, started_at: float | None) -> None:
    """Handle one utterance in reply to the current question."""
    if turn.progress.held or turn.progress.question:
        _besides_items(turn, utterance, started_at)
    elif turn.progress.item:
        _to_item(turn, turn.progress.item, utterance, started_at)
    elif turn.progress.awaiting:
        _to_challenge(turn, utterance, started_at)


def _to_challenge(turn: Turn, utterance: Utterance, began: float | None) -> None:
    """Handle words while a person's challenge is awaited."""
    call = find_challenge(turn, utterance)
    found = None if call or not utterance.sure else command_in(utterance, turn.context.commands)
    stated = None if call or found else statement_in(turn, utterance)
    if call:
        _called(turn, call, utterance, began)
    elif found:
        obey_command(turn, found, utterance)
    elif stated:
        take_statement(turn, stated, utterance)
    elif given := statement_of(turn, utterance):
        take_or_offer(turn, given, utterance)
    else:
        await_words(turn, utterance)


def _called(turn: Turn, call: CrewCall, utterance: Utterance, began: float | None) -> None:
    take_crew_call(turn, call, utterance)
    item = turn.progress.item
    if call.rest and item:  # challenge and reply in one breath
        reply = replace(utterance, text=call.rest)
        _settle(turn, item, reply, _seated(turn, item, reply, _judged(turn, item, call.rest)), None)


def _to_item(turn: Turn, item: PlannedItem, utterance: Utterance, began: float | None) -> None:
    utterance = _chosen(turn, item, utterance) if utterance.sure else utterance
    weighed = _weighed(turn, item, utterance)
    judged, listed = weighed.judged, weighed.listed
    other = utterance.sure and not listed
    call = find_challenge(turn, utterance) if other else None
    stated = statement_in(turn, utterance) if other and not weighed.command else None
    if call:
        _called(turn, call, utterance, began)
    elif weighed.command:
        obey_command(turn, weighed.command, utterance)
    elif stated:
        take_statement(turn, stated, utterance)
    elif not listed and (given := statement_of(turn, utterance)):
        take_or_offer(turn, given, utterance)
    elif weighed.remark:
        _remark(turn, item, utterance)
    else:
        seated = _seated(turn, item, utterance, judged) if utterance.sure else judged
        _settle(turn, item, utterance, seated, began)


def _besides_items(turn: Turn, utterance: Utterance, began: float | None) -> None:
    choice = choice_in(turn, utterance)
    found = command_in(utterance, turn.context.commands) if utterance.sure else None
    item = turn.progress.item
    turn.set(heard=utterance, verdict=None)
    if choice and (not turn.progress.held or turn.progress.question is Question.STOP):
        turn.cut()
        decide_question(turn, choice, utterance)
    elif turn.progress.question is Question.SKIP_REASON and item and _is_reply(turn, utterance):
        _to_item(turn, item, utterance, began)
    elif found:
        obey_command(turn, found, utterance)
    elif stated := statement_in(turn, utterance):
        take_statement(turn, stated, utterance)
    elif given := statement_of(turn, utterance):
        take_or_offer(turn, given, utterance)
    elif turn.progress.held:
        _while_held(turn, utterance)
    else:
        turn.cut()
        other_words(turn, utterance)


def _while_held(turn: Turn, utterance: Utterance) -> None:
    """Talk during a hold is the crew's own business; only typed lines are answered."""
    if utterance.source is ReplySource.KEYBOARD:
        turn.note(sentences.say_continue(wording.holding_at(turn.progress)))


def _is_reply(turn: Turn, utterance: Utterance) -> bool:
    item = turn.progress.item
    if item is None or not utterance.sure:
        return False
    return not turn.progress.held and (_judged(turn, item, utterance.text).verdict is Verdict.MATCH)


def _judged(turn: Turn, item: PlannedItem, words: str) -> Judgement:
    missing = wording.missing_now(turn.progress, item)
    if missing:
        return Judgement(Verdict.UNCLEAR, NOT_KNOWN, wording.not_known(missing))
    if item.leads:
        return judge_way(item, words, turn.context.tables)
    return judge_reply(words, item.expectation, turn.context.tables)


def _weighed(turn: Turn, item: PlannedItem, utterance: Utterance) -> Weighed:
    commands = turn.context.commands
    return weigh_utterance(utterance, item.expectation, lambda w: _judged(turn, item, w), commands)


def _chosen(turn: Turn, item: PlannedItem, utterance: Utterance) -> Utterance:
    """Turn the number of an offered reply into that reply."""
    options = turn.moment.options
    number = utterance.text
    typed = utterance.source is ReplySource.KEYBOARD and number.isdecimal() and len(number) == 1
    if not typed or not 1 <= int(number) <= len(options):
        return utterance
    return replace(utterance, text=options[int(number) - 1])


def _seated(turn: Turn, item: PlannedItem, utterance: Utterance, judged: Judgement) -> Judgement:
    """Refuse a reply whose voice shows that it came from the wrong seat."""
    flying = turn.context.pacing.flying
    if item.role not in _SEATS or utterance.seat is None:
        return judged
    if seat_of(utterance.seat, flying) is seat_of(item.role, flying):
        return judged
    reason = sentences.wrong_seat(wording.role_words(utterance.seat), wording.role_words(item.role))
    return Judgement(Verdict.UNCLEAR, WRONG_SEAT, reason)


def _remark(turn: Turn, item: PlannedItem, utterance: Utterance) -> None:
    turn.record(r.Remarked(item_id=item.id, utterance=utterance))
    turn.set(heard=utterance, verdict=None, sentence=conversation.SIDE_REMARK)
    turn.news(conversation.after_side_remark(wording.heard_line(utterance)))


def _settle(
    turn: Turn, item: PlannedItem, utterance: Utterance, judged: Judgement, began: float | None
) -> None:
    right = judged.reply if judged.verdict is Verdict.MATCH else None
    seen, said = seen_at(turn, item, right or ""), judged
    judged = held_against(said, seen, said.reply or utterance.words)
    _write_down(turn, item, utterance, judged, began, seen, said.verdict)
    turn.cut()
    turn.tone(judged.verdict)
    turn.set(heard=utterance, verdict=judged.verdict, lines=())
    match judged.verdict:
        case Verdict.MATCH:
            _matched(turn, item, seen)
        case Verdict.MISMATCH if judged.code == NOT_SET:
            not_set(turn, judged)
        case Verdict.MISMATCH:
            refuse_mismatch(turn, item, utterance, judged, also_set(seen))
        case Verdict.UNCLEAR:
            ask_again(turn, item, utterance, judged)


def _write_down(
    turn: Turn,
    item: PlannedItem,
    utterance: Utterance,
    judged: Judgement,
    began: float | None,
    seen: Found,
    said: Verdict,
) -> None:
    pacing = turn.context.pacing
    seconds = turn.moment.seconds_to(turn.stamp.at if began is None else began)
    by_tool = turn.progress.challenger is Challenger.TOOL
    timed = seconds is not None and judged.verdict is Verdict.MATCH
    turn.record(
        r.Replied(
            item_id=item.id,
            utterance=utterance,
            verdict=judged.verdict,
            code=judged.code,
            reason=judged.reason,
            reply=judged.reply,
            seconds=seconds,
            # a person's challenge ends before it is recognised: too short a time proves nothing
            fast=timed and by_tool and seconds is not None and seconds < pacing.glance_s,
            slow=timed and seconds is not None and seconds > pacing.slow_s,
            said=None if said is judged.verdict else said,
            standing=seen.standing,
            found=seen.told,
        )
    )


def _matched(turn: Turn, item: PlannedItem, seen: Found) -> None:
    index = turn.progress.position
    assert index is not None
    state = turn.progress.items[index]
    mark = sentences.TOO_FAST if state.fast else ""
    shown, aloud = speech_alone(turn, seen)
    mark += shown
    turn.news(f"Right: {state.reply}.{mark}")
    if state.open:
        challenge_item(turn, index, Why.OTHER_SEAT, aloud, sentences.OTHER_SEAT_TOO)
        return
    where = go_on(turn, item, turn.moment.heard.text if turn.moment.heard else "")
    turn.news(where)
    advance_list(turn, aloud, where)
    turn.set(sentence=f"{item.challenge}: {state.reply}.{mark}")
