"""What words and controls do between lists."""

from __future__ import annotations

from dataclasses import replace

from callout.core.conversation.pacing import faster_pace, slower_pace
from callout.core.flight_run import calls, wording
from callout.core.flight_run import records as s
from callout.core.flight_run.asking_which import ask_which, put_question
from callout.core.flight_run.due import missing_before, next_due, not_completed
from callout.core.flight_run.lapsing import complete_now, due_again_after
from callout.core.flight_run.questions import DeskChoice, DeskQuestion
from callout.core.flight_run.springing import memory_list
from callout.core.flight_run.turn import DeskTurn
from callout.core.model.checklist import Checklist
from callout.core.model.commands import Command, find_answer, find_command
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.planning.stated_quantity import told_given
from callout.core.sentences import conversation
from callout.core.sentences import flight as sentences
from callout.core.understanding.fact_phrases import FactStatement, told

AGREED_WITHIN = 15.0
"""Seconds after the tool has named the due list during which a spoken "yes" begins it."""
_PACES = {Command.SLOWER: slower_pace, Command.FASTER: faster_pace}


def take_words(turn: DeskTurn, utterance: Utterance) -> None:
    """Handle words between lists: an answer, a call, a control, or something unknown."""
    turn.set(heard=utterance, lines=())
    if turn.progress.question:
        _answer(turn, utterance)
        return
    context, progress = turn.context, turn.progress
    call = calls.find_call(utterance.text, context, progress)
    if call is None and utterance.source is ReplySource.KEYBOARD:
        call = calls.find_number(utterance.text, context, progress)
    if call:
        turn.cut()
        _call(turn, call, utterance)
    elif calls.agrees_to_due(utterance.text, context) and _answers_the_tool(turn, utterance):
        turn.cut()
        _call(turn, calls.NextCall(), utterance)
    elif command := find_command(utterance.text, context.session.commands):
        obey_control(turn, command, utterance)
    elif given := calls.given_in(turn.context, utterance):
        turn.record(s.QuantityGiven(given=given, utterance=utterance))
        said = told_given(given, context.flight)
        turn.tell(" ".join((said, *wording.due_again(context, progress, {}, (given,)))))
    elif words := calls.names_a_list(utterance):
        ask_which(turn, words, utterance)
    elif utterance.source is ReplySource.KEYBOARD:
        turn.record(s.DeskMisunderstood(utterance=utterance))
        turn.note(calls.not_known(turn.context, utterance.text))


def _answers_the_tool(turn: DeskTurn, utterance: Utterance) -> bool:
    """Decide whether "yes" is meant for the tool: typed, or said right after the tool spoke."""
    asked = turn.moment.asked_at
    soon = asked is None or turn.stamp.at - asked <= AGREED_WITHIN
    return utterance.source is not ReplySource.VOICE or soon


def _answer(turn: DeskTurn, utterance: Utterance) -> None:
    table = turn.context.session.commands
    found = find_answer(utterance.text, table, ("yes", "no"))
    if found:
        turn.cut()
        _decide(turn, DeskChoice(found), utterance)
        return
    command = find_command(utterance.text, table)
    if command and command is not Command.STOP:
        obey_control(turn, command, utterance)
        return
    turn.record(s.DeskMisunderstood(utterance=utterance))
    turn.tell(wording.question_words(turn.context, turn.progress))


def _decide(turn: DeskTurn, choice: DeskChoice, utterance: Utterance) -> None:
    question, list_id = turn.progress.question, turn.progress.subject
    assert question
    turn.record(s.DeskDecided(question=question, choice=choice, utterance=utterance))
    checklist = turn.context.checklist(list_id)
    if choice is DeskChoice.NO:
        _stay(turn, question, utterance)
    elif question is DeskQuestion.END:
        _end(turn)
    elif checklist and question is DeskQuestion.MEANT:
        call_list(turn, checklist, utterance)
    elif checklist:
        missing = missing_before(turn.context, turn.progress, checklist)
        _start(turn, checklist, utterance, missing)


def _stay(turn: DeskTurn, question: DeskQuestion, utterance: Utterance) -> None:
    """Return to the open list, or stay between lists."""
    if turn.progress.left and question is not DeskQuestion.END:
        _take_up(turn, turn.progress.left, utterance)
    else:
        turn.tell(wording.what_is_due(turn.context, turn.progress))


def _take_up(turn: DeskTurn, session_id: str, utterance: Utterance) -> None:
    """Continue a list that was set aside."""
    turn.record(s.ListTakenUp(session_id=session_id, utterance=utterance))
    rest = {name: kept for name, kept in turn.state.aside.items() if name != session_id}
    inner = turn.state.aside.get(session_id)
    turn.state = replace(turn.state, inner=inner, awake=False, aside=rest)


def _end(turn: DeskTurn) -> None:
    left = not_completed(turn.context, turn.progress)
    turn.record(s.SectorEnded(not_completed=tuple(c.title for c in left)))
    undone = wording.not_done(turn.context, turn.progress, left)
    turn.tell(" ".join((sentences.FLIGHT_ENDED, *undone)))
    turn.finish()


def _call(turn: DeskTurn, call: calls.Call, utterance: Utterance) -> None:
    context, progress = turn.context, turn.progress
    match call:
        case calls.ListCall(checklist):
            call_list(turn, checklist, utterance)
        case calls.NextCall():
            due = next_due(context, progress)
            if due:
                call_list(turn, due, utterance)
            else:
                turn.tell(wording.what_is_due(context, progress))
        case calls.DueCall():
            _say_due(turn, utterance)
        case calls.MemoryCall():
            spring_memory_items(turn, utterance)
        case calls.EndCall():
            put_question(turn, DeskQuestion.END)
        case calls.MomentCall(moment):
            turn.record(s.MomentCalled(moment=moment, utterance=utterance))
            lists = [c for c in context.lists if moment in c.due]
            turn.tell(wording.moment_called(context, turn.progress, moment, lists))
        case FactStatement(fact, state):
            turn.record(s.SetUpStated(fact=fact, state=state, utterance=utterance))
            turn.tell(" ".join((told(call), *wording.due_again(context, progress, {fact: state}))))


def call_list(turn: DeskTurn, checklist: Checklist, utterance: Utterance) -> None:
    """Start or continue a list, or ask first if it is called out of order."""
    context, progress = turn.context, turn.progress
    run = progress.last_run(checklist.id)
    if run and run.aside:
        _take_up(turn, run.session_id, utterance)
    elif checklist.any_time:
        _start(turn, checklist, utterance)
    elif complete_now(context, progress, checklist.id):
        put_question(turn, DeskQuestion.AGAIN, checklist.id)
    elif missing_before(context, progress, checklist):
        put_question(turn, DeskQuestion.OUT_OF_ORDER, checklist.id)
    else:
        _start(turn, checklist, utterance)


def spring_memory_items(turn: DeskTurn, utterance: Utterance) -> None:
    """Start the memory items of one of the abnormal lists."""
    checklist = memory_list(turn.context, turn.progress)
    if checklist is None:
        turn.tell(sentences.NO_MEMORY_ITEMS)
    else:
        _start(turn, checklist, utterance, sprung=True)


def _start(
    turn: DeskTurn,
    checklist: Checklist,
    utterance: Utterance,
    warned: tuple[Checklist, ...] = (),
    sprung: bool = False,
) -> None:
    number = len(turn.progress.runs) + 1
    session_id = f"{turn.stamp.utc:%Y%m%dT%H%M%SZ}-{checklist.id}-{turn.progress.mark}{number:02}"
    turn.record(
        s.ListCalled(
            list_id=checklist.id,
            session_id=session_id,
            utterance=utterance,
            warned=tuple(c.title for c in warned),
            rest_of="" if sprung else due_again_after(turn.context, turn.progress, checklist),
            sprung=sprung,
        )
    )
    turn.set(sentence="", lines=())
    turn.close_list()


def _say_due(turn: DeskTurn, utterance: Utterance) -> None:
    progress = turn.progress
    turn.record(
        s.DeskCommanded(
            command=Command.WHAT_IS_LEFT,
            utterance=utterance,
            pace=progress.pace,
            quiet=progress.quiet,
        )
    )
    turn.tell(wording.what_is_due(turn.context, turn.progress))


def obey_control(turn: DeskTurn, command: Command, utterance: Utterance) -> None:
    """Carry out a control, as far as it means anything between lists."""
    turn.cut()
    turn.set(heard=utterance, lines=())
    progress = turn.progress
    quieter = command in (Command.QUIET, Command.READ_ALOUD)
    turn.record(
        s.DeskCommanded(
            command=command,
            utterance=utterance,
            pace=_PACES.get(command, float)(progress.pace),
            quiet=command is Command.QUIET if quieter else progress.quiet,
        )
    )
    match command:
        case Command.HELP:
            lines = wording.help_lines(turn.context, turn.progress)
            turn.set(lines=lines)
            turn.news(*lines)
            turn.tell(sentences.CALL_FOR_A_LIST)
        case Command.STOP:
            put_question(turn, DeskQuestion.END)
        case Command.SAY_AGAIN | Command.WHAT_IS_LEFT | Command.READ_ALOUD:
            say = wording.question_words if turn.progress.question else wording.what_is_due
            turn.tell(say(turn.context, turn.progress))
        case Command.CONTINUE:
            _continue(turn, utterance)
        case Command.HOLD:
            turn.note(sentences.NOTHING_WAITING)
        case Command.SLOWER | Command.FASTER:
            turn.tell(f"{command.value.capitalize()}.")
        case Command.QUIET:
            turn.note(conversation.VOICE_OFF)
        case _:
            turn.note(sentences.NO_LIST_OPEN)


def _continue(turn: DeskTurn, utterance: Utterance) -> None:
    """Continue the list set aside last; if there is none, say what is due."""
    aside = [run for run in turn.progress.runs if run.aside]
    if aside and not turn.progress.question:
        _take_up(turn, aside[-1].session_id, utterance)
    else:
        turn.tell(wording.what_is_due(turn.context, turn.progress))
