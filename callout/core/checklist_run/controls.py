"""Control by voice, typing and single keys."""

from __future__ import annotations

from collections.abc import Callable

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import (
    advance_list,
    ask_question,
    challenge_item,
    repeat_asked,
)
from callout.core.checklist_run.branching import UNDECIDED
from callout.core.checklist_run.causes import Question, Why
from callout.core.checklist_run.fact_dialogue import set_up_lines
from callout.core.checklist_run.quantity_dialogue import do_anyway
from callout.core.checklist_run.questions import skip_item
from callout.core.checklist_run.reasons import reasons_for
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import faster_pace, slower_pace
from callout.core.model.commands import Command, CommandTable, Found
from callout.core.model.utterance import Utterance
from callout.core.sentences import checklist as sentences
from callout.core.sentences import conversation, set_up

_WHILE_HELD = {
    Command.CONTINUE,
    Command.STOP,
    Command.WHAT_IS_LEFT,
    Command.WHY,
    Command.HELP,
    Command.SET_UP,
    Command.QUIET,
    Command.READ_ALOUD,
    Command.SLOWER,
    Command.FASTER,
}


def obey_command(turn: Turn, found: Found, utterance: Utterance) -> None:
    """Carry out a command, and record that it was given."""
    turn.record(r.Commanded(command=found.command, utterance=utterance, rest=found.rest))
    turn.cut()
    turn.set(heard=utterance, verdict=None, lines=())
    if turn.progress.held and found.command not in _WHILE_HELD:
        turn.tell(sentences.say_continue(wording.holding_at(turn.progress)))
        return
    _ACTIONS[found.command](turn, found, utterance)


def _say_again(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.set(sentence="")
    repeat_asked(turn, Why.ASKED)


def _hold_list(turn: Turn, found: Found, utterance: Utterance) -> None:
    item = turn.progress.item
    turn.record(r.Held(item_id=item.id if item else ""))
    turn.tell(wording.holding_at(turn.progress))


def _continue_list(turn: Turn, found: Found, utterance: Utterance) -> None:
    if not turn.progress.held:
        turn.note(sentences.NOT_ON_HOLD)
        repeat_asked(turn, Why.ASKED, sentences.NOT_ON_HOLD)
        return
    item = turn.progress.item
    turn.record(r.Continued(item_id=item.id if item else ""))
    take_up(turn)


def take_up(turn: Turn, changed: str = "") -> None:
    """Say where the list stopped, the last completed item and what changed, then go on."""
    where = f"{wording.stopped_at(turn.progress)} {changed}".strip()
    turn.news(where)
    repeat_asked(turn, Why.CONTINUED, where)
    turn.set(sentence=where)


def _skip_item(turn: Turn, found: Found, utterance: Utterance) -> None:
    item = turn.progress.item
    if item is None or turn.progress.question not in (None, Question.SKIP_REASON):
        _no_item(turn, "skip")
    elif item.leads:
        _keep_undecided(turn)
    elif found.rest:
        skip_item(turn, found.rest, utterance)
    elif turn.progress.question is Question.SKIP_REASON and not item.critical:
        skip_item(turn, "", utterance)
    else:
        ask_question(turn, Question.SKIP_REASON)


def _defer_item(turn: Turn, found: Found, utterance: Utterance) -> None:
    item = turn.progress.item
    if item is None or turn.progress.question not in (None, Question.SKIP_REASON):
        _no_item(turn, "defer")
        return
    if item.leads:
        _keep_undecided(turn)
        return
    turn.record(r.Deferred(item_id=item.id, note=found.rest))
    said = sentences.deferred(item.challenge)
    turn.news(said)
    advance_list(turn, said)
    turn.set(sentence=said)


def _keep_undecided(turn: Turn) -> None:
    turn.note(UNDECIDED)
    repeat_asked(turn, Why.ASKED, UNDECIDED)


def _no_item(turn: Turn, verb: str) -> None:
    turn.note(sentences.no_item_now(verb))
    repeat_asked(turn, Why.ASKED, sentences.no_item_now(verb))


def _go_back(turn: Turn, found: Found, utterance: Utterance) -> None:
    last = turn.progress.last_left
    if last is None:
        turn.note(sentences.FIRST_ITEM)
        repeat_asked(turn, Why.ASKED, sentences.FIRST_ITEM)
        return
    item = turn.progress.plan.items[last]
    turn.record(r.Reopened(item_id=item.id))
    turn.news(sentences.back_to(item.challenge))
    challenge_item(turn, last, Why.REOPENED, sentences.back_to(item.challenge))
    turn.set(sentence=sentences.back_to_unanswered(item.challenge))


def _disregard_reply(turn: Turn, found: Found, utterance: Utterance) -> None:
    """Take back the previous reply: one not accepted is dropped, an accepted one is reopened."""
    progress = turn.progress
    item = progress.items[progress.current] if progress.current is not None else None
    fresh = item is None or not (item.unclear or item.mismatches)
    if fresh and progress.question is None and progress.last_left is not None:
        _go_back(turn, found, utterance)
        return
    turn.news("Disregarded.")
    turn.set(sentence="", options=())
    repeat_asked(turn, Why.ASKED, "Disregarded.")


def _what_is_left(turn: Turn, found: Found, utterance: Utterance) -> None:
    left = wording.what_is_left(turn.progress)
    progress = turn.progress
    any_done = any(not progress.items[n].open for n in progress.trail)
    turn.tell(f"{left} {wording.last_completed(progress)}" if any_done else left)
    turn.set(lines=wording.left_lines(turn.progress))
    _remind_of_item(turn)


def _tell_why(turn: Turn, found: Found, utterance: Utterance) -> None:
    """Say why the open item is done; never reveal what is asked from memory."""
    reasons = reasons_for(turn)
    turn.set(lines=reasons[1:])
    turn.news(*reasons[1:])
    turn.tell(reasons[0])
    _remind_of_item(turn)


def _remind_of_item(turn: Turn) -> None:
    progress = turn.progress
    if progress.item and not progress.held and not progress.question:
        turn.say(f"Now {wording.challenge_words(progress.item)}")


def _speak_slower(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Paced(pace=slower_pace(turn.progress.pace)))
    turn.tell("Slower.")


def _speak_faster(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Paced(pace=faster_pace(turn.progress.pace)))
    turn.tell("Faster.")


def _voice_off(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Quieted(quiet=True))
    turn.note(conversation.VOICE_OFF)


def _read_aloud(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Quieted(quiet=False))
    turn.note(sentences.READING_ALOUD)
    if turn.progress.held:
        turn.say(wording.holding_at(turn.progress))
    else:
        repeat_asked(turn, Why.ASKED)


def _show_help(turn: Turn, found: Found, utterance: Utterance) -> None:
    offered = _worth_telling(turn)
    lines = wording.help_lines(offered)
    turn.say(wording.help_spoken(offered))
    turn.set(lines=lines, sentence="")
    turn.news(*lines)
    _remind_of_item(turn)


def _worth_telling(turn: Turn) -> CommandTable:
    """Return the commands that mean something now, few enough for a small screen."""
    progress = turn.progress
    idle = {Command.QUIET if progress.quiet else Command.READ_ALOUD}  # they share a key
    idle.add(Command.WHY if progress.done_before else Command.DO_ANYWAY)
    return turn.context.commands.without(idle)


def _set_up(turn: Turn, found: Found, utterance: Utterance) -> None:
    lines = set_up_lines(turn)
    example = f'"{lines[0].split(":")[0]}, yes"' if lines else ""
    how = set_up.say_what_changed(example) if lines else set_up.NOTHING_DEPENDS
    turn.set(lines=lines)
    turn.news(*lines)
    turn.tell(how)
    _remind_of_item(turn)


def _stop_list(turn: Turn, found: Found, utterance: Utterance) -> None:
    ask_question(turn, Question.STOP)


_ACTIONS: dict[Command, Callable[[Turn, Found, Utterance], None]] = {
    Command.SAY_AGAIN: _say_again,
    Command.HOLD: _hold_list,
    Command.CONTINUE: _continue_list,
    Command.SKIP: _skip_item,
    Command.DEFER: _defer_item,
    Command.GO_BACK: _go_back,
    Command.DISREGARD: _disregard_reply,
    Command.WHAT_IS_LEFT: _what_is_left,
    Command.WHY: _tell_why,
    Command.SLOWER: _speak_slower,
    Command.FASTER: _speak_faster,
    Command.QUIET: _voice_off,
    Command.READ_ALOUD: _read_aloud,
    Command.HELP: _show_help,
    Command.SET_UP: _set_up,
    Command.DO_ANYWAY: do_anyway,
    Command.STOP: _stop_list,
}
