"""Spoken, typed and single-key control."""

from __future__ import annotations

from collections.abc import Callable

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import advance, ask, challenge, repeat
from callout.core.checklist_run.branching import UNDECIDED
from callout.core.checklist_run.causes import Question, Why
from callout.core.checklist_run.fact_dialogue import set_up_lines
from callout.core.checklist_run.quantity_dialogue import do_anyway
from callout.core.checklist_run.questions import skip
from callout.core.checklist_run.reasons import reasons_for
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import faster, slower
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


def obey(turn: Turn, found: Found, utterance: Utterance) -> None:
    """Do what a command asks, and write down that it was given."""
    turn.record(r.Commanded(command=found.command, utterance=utterance, rest=found.rest))
    turn.cut()
    turn.set(heard=utterance, verdict=None, lines=())
    if turn.progress.held and found.command not in _WHILE_HELD:
        turn.tell(sentences.say_continue(wording.holding_at(turn.progress)))
        return
    _ACTIONS[found.command](turn, found, utterance)


def _say_again(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.set(sentence="")
    repeat(turn, Why.ASKED)


def _hold(turn: Turn, found: Found, utterance: Utterance) -> None:
    item = turn.progress.item
    turn.record(r.Held(item_id=item.id if item else ""))
    turn.tell(wording.holding_at(turn.progress))


def _continue(turn: Turn, found: Found, utterance: Utterance) -> None:
    if not turn.progress.held:
        turn.note(sentences.NOT_ON_HOLD)
        repeat(turn, Why.ASKED, sentences.NOT_ON_HOLD)
        return
    item = turn.progress.item
    turn.record(r.Continued(item_id=item.id if item else ""))
    take_up(turn)


def take_up(turn: Turn, changed: str = "") -> None:
    """Say where the list stopped, the last completed item and what changed, then go on."""
    where = f"{wording.stopped_at(turn.progress)} {changed}".strip()
    turn.news(where)
    repeat(turn, Why.CONTINUED, where)
    turn.set(sentence=where)


def _skip(turn: Turn, found: Found, utterance: Utterance) -> None:
    item = turn.progress.item
    if item is None or turn.progress.question not in (None, Question.SKIP_REASON):
        _no_item(turn, "skip")
    elif item.leads:
        _undecided(turn)
    elif found.rest:
        skip(turn, found.rest, utterance)
    elif turn.progress.question is Question.SKIP_REASON and not item.critical:
        skip(turn, "", utterance)
    else:
        ask(turn, Question.SKIP_REASON)


def _defer(turn: Turn, found: Found, utterance: Utterance) -> None:
    item = turn.progress.item
    if item is None or turn.progress.question not in (None, Question.SKIP_REASON):
        _no_item(turn, "defer")
        return
    if item.leads:
        _undecided(turn)
        return
    turn.record(r.Deferred(item_id=item.id, note=found.rest))
    said = sentences.deferred(item.challenge)
    turn.news(said)
    advance(turn, said)
    turn.set(sentence=said)


def _undecided(turn: Turn) -> None:
    turn.note(UNDECIDED)
    repeat(turn, Why.ASKED, UNDECIDED)


def _no_item(turn: Turn, verb: str) -> None:
    turn.note(sentences.no_item_now(verb))
    repeat(turn, Why.ASKED, sentences.no_item_now(verb))


def _go_back(turn: Turn, found: Found, utterance: Utterance) -> None:
    last = turn.progress.last_left
    if last is None:
        turn.note(sentences.FIRST_ITEM)
        repeat(turn, Why.ASKED, sentences.FIRST_ITEM)
        return
    item = turn.progress.plan.items[last]
    turn.record(r.Reopened(item_id=item.id))
    turn.news(sentences.back_to(item.challenge))
    challenge(turn, last, Why.REOPENED, sentences.back_to(item.challenge))
    turn.set(sentence=sentences.back_to_unanswered(item.challenge))


def _disregard(turn: Turn, found: Found, utterance: Utterance) -> None:
    """Take the reply before back: one not accepted simply falls away, an accepted one reopens."""
    progress = turn.progress
    item = progress.items[progress.current] if progress.current is not None else None
    fresh = item is None or not (item.unclear or item.mismatches)
    if fresh and progress.question is None and progress.last_left is not None:
        _go_back(turn, found, utterance)
        return
    turn.news("Disregarded.")
    turn.set(sentence="", options=())
    repeat(turn, Why.ASKED, "Disregarded.")


def _what_is_left(turn: Turn, found: Found, utterance: Utterance) -> None:
    left = wording.what_is_left(turn.progress)
    progress = turn.progress
    any_done = any(not progress.items[n].open for n in progress.trail)
    turn.tell(f"{left} {wording.last_completed(progress)}" if any_done else left)
    turn.set(lines=wording.left_lines(turn.progress))
    _remind_of_item(turn)


def _why(turn: Turn, found: Found, utterance: Utterance) -> None:
    """Say why the open item is done; what is asked from memory is not given away."""
    reasons = reasons_for(turn)
    turn.set(lines=reasons[1:])
    turn.news(*reasons[1:])
    turn.tell(reasons[0])
    _remind_of_item(turn)


def _remind_of_item(turn: Turn) -> None:
    progress = turn.progress
    if progress.item and not progress.held and not progress.question:
        turn.say(f"Now {wording.asked(progress.item)}")


def _slower(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Paced(pace=slower(turn.progress.pace)))
    turn.tell("Slower.")


def _faster(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Paced(pace=faster(turn.progress.pace)))
    turn.tell("Faster.")


def _quiet(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Quieted(quiet=True))
    turn.note(conversation.VOICE_OFF)


def _read_aloud(turn: Turn, found: Found, utterance: Utterance) -> None:
    turn.record(r.Quieted(quiet=False))
    turn.note(sentences.READING_ALOUD)
    if turn.progress.held:
        turn.say(wording.holding_at(turn.progress))
    else:
        repeat(turn, Why.ASKED)


def _help(turn: Turn, found: Found, utterance: Utterance) -> None:
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


def _stop(turn: Turn, found: Found, utterance: Utterance) -> None:
    ask(turn, Question.STOP)


_ACTIONS: dict[Command, Callable[[Turn, Found, Utterance], None]] = {
    Command.SAY_AGAIN: _say_again,
    Command.HOLD: _hold,
    Command.CONTINUE: _continue,
    Command.SKIP: _skip,
    Command.DEFER: _defer,
    Command.GO_BACK: _go_back,
    Command.DISREGARD: _disregard,
    Command.WHAT_IS_LEFT: _what_is_left,
    Command.WHY: _why,
    Command.SLOWER: _slower,
    Command.FASTER: _faster,
    Command.QUIET: _quiet,
    Command.READ_ALOUD: _read_aloud,
    Command.HELP: _help,
    Command.SET_UP: _set_up,
    Command.DO_ANYWAY: do_anyway,
    Command.STOP: _stop,
}
