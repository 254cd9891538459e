"""What a touch screen offers: the keys, and the answers to open questions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from callout.core.checklist_run.arming import choices_of, completion_expected
from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.state import SessionState
from callout.core.conversation.view_model import Control
from callout.core.model.commands import Command, CommandTable

_VOICE = {
    Command.SLOWER: "slower",
    Command.FASTER: "faster",
    Command.QUIET: "quiet",
    Command.HELP: "help",
}
ASKING: Mapping[Command, str] = {
    Command.SAY_AGAIN: "say again",
    Command.HOLD: "hold",
    Command.DEFER: "defer",
    Command.SKIP: "skip",
    Command.GO_BACK: "go back",
    Command.WHAT_IS_LEFT: "what is left",
    Command.WHY: "why",
    Command.SET_UP: "set-up",
    **_VOICE,
    Command.STOP: "stop",
}
HELD: Mapping[Command, str] = {
    Command.CONTINUE: "continue",
    Command.WHAT_IS_LEFT: "what is left",
    Command.SET_UP: "set-up",
    **_VOICE,
    Command.STOP: "stop",
}
DESK: Mapping[Command, str] = {
    Command.SAY_AGAIN: "say again",
    Command.WHAT_IS_LEFT: "what is due",
    **_VOICE,
    Command.STOP: "end the flight",
}


def offered_controls(
    table: CommandTable, offered: Mapping[Command, str], quiet: bool
) -> tuple[Control, ...]:
    """Return the key of each offered command; the key that mutes the voice also unmutes it."""
    named = {**offered, Command.QUIET: "read aloud"} if quiet else offered
    entries = ((table.entry(command), words) for command, words in named.items())
    return tuple(Control(entry.keys[0], words) for entry, words in entries if entry.keys)


def controls_now(state: SessionState) -> tuple[Control, ...]:
    """Return the keys that mean something now in a list."""
    progress = state.progress
    if progress.ending or progress.suspended:
        return ()
    offered = HELD if progress.held else ASKING
    if not progress.held and progress.done_before:
        offered = {**offered, Command.DO_ANYWAY: "do it anyway"}
    return offered_controls(state.context.commands, offered, progress.quiet)


def answers_to(state: SessionState) -> tuple[str, ...]:
    """Return one way to give each answer to the open question."""
    question = state.progress.question
    if question is None or (state.progress.held and question is not Question.STOP):
        return ()
    return tuple(dict.fromkeys(_answer_controls(state, question)))


def _answer_controls(state: SessionState, question: Question) -> Iterator[str]:
    table = state.context.commands
    if question is Question.COMPLETION:
        yield from (answer.text for answer in completion_expected(state.progress).accepted[:1])
    if question is Question.SKIP_REASON:
        yield from table.entry(Command.SKIP).endings
    for choice in choices_of(state.context, state.progress, question):
        said = "cancel" if question is Question.SKIP_REASON else ""
        yield from [said or phrase for phrase in table.answers.get(choice.value, ())[:1]]
