"""Spoken, typed and single-key control of a drill."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run import wording
from callout.core.conversation.pacing import faster_pace, slower_pace
from callout.core.drill import records as d
from callout.core.drill.putting import end_drill, leave_exercise, put_exercise
from callout.core.drill.reasons import reasons_for
from callout.core.drill.state import DrillProgress
from callout.core.drill.turn import DrillTurn
from callout.core.model.commands import Command, CommandTable, Found
from callout.core.model.counting import counted_noun
from callout.core.model.utterance import Utterance
from callout.core.sentences import drill as sentences


def take_command(turn: DrillTurn, found: Found, said: Utterance | None) -> None:
    """Carry out a command; ``said`` None: silence asked for it."""
    command = found.command
    if said is not None:
        turn.record(_command_record(turn.progress, command, said))
        turn.cut()
        turn.set(heard=said, verdict=None, lines=())
    _obey_command(turn, command)


def _command_record(progress: DrillProgress, command: Command, said: Utterance) -> d.DrillCommanded:
    """Return the record of a command: the new pace, voice and hold."""
    paces = {Command.SLOWER: slower_pace, Command.FASTER: faster_pace}
    quiets = {Command.QUIET: True, Command.READ_ALOUD: False}
    holds = {Command.HOLD: True, Command.CONTINUE: False}
    return d.DrillCommanded(
        command=command,
        utterance=said,
        pace=paces[command](progress.pace) if command in paces else progress.pace,
        quiet=quiets.get(command, progress.quiet),
        held=holds.get(command, progress.held),
    )


def _obey_command(turn: DrillTurn, command: Command) -> None:
    match command:
        case Command.STOP:
            end_drill(turn, d.Over.STOPPED)
        case Command.HELP:
            lines = (
                "not known                    hear the answer",
                *wording.help_lines(_usable_commands(turn)),
            )
            turn.set(lines=lines, sentence="")
            turn.news(*lines)
            turn.say(wording.help_spoken(_usable_commands(turn)))
        case Command.HOLD:
            turn.tell("Holding.")
        case _ if turn.progress.held:
            turn.note(sentences.HOLDING)
        case Command.SKIP:
            leave_exercise(turn, sentences.LEFT_OUT)
        case Command.SAY_AGAIN | Command.CONTINUE | Command.READ_ALOUD:
            put_exercise(turn, repeat=command is not Command.CONTINUE)
        case Command.WHAT_IS_LEFT:
            left = counted_noun(len(turn.progress.waiting), "exercise")
            minutes = round(turn.progress.seconds_left(turn.stamp.at) / 60)
            turn.tell(sentences.time_left(left, counted_noun(minutes, "minute")))
        case Command.WHY:
            turn.tell(" ".join(reasons_for(turn.progress)))
        case Command.SLOWER | Command.FASTER | Command.QUIET:
            turn.note(f"{command.value.capitalize()}.")
        case _:
            turn.note(sentences.NOT_IN_A_DRILL)
            turn.rearm()


_HERE = {
    Command.SAY_AGAIN,
    Command.HOLD,
    Command.CONTINUE,
    Command.SKIP,
    Command.WHAT_IS_LEFT,
    Command.WHY,
    Command.SLOWER,
    Command.FASTER,
    Command.QUIET,
    Command.READ_ALOUD,
    Command.HELP,
    Command.STOP,
}


def _usable_commands(turn: DrillTurn) -> CommandTable:
    """Return the commands that mean something here, with what they do here."""
    table = turn.context.commands
    entries = (e for e in table.entries if e.command in _HERE)
    told = (replace(e, about=_ABOUT.get(e.command, e.about)) for e in entries)
    return replace(table, entries=tuple(told))


_ABOUT = {
    Command.SAY_AGAIN: "hear the exercise again",
    Command.HOLD: "hold the drill and stop its clock",
    Command.SKIP: "skip this one; it does not count",
    Command.STOP: "end the drill; your answers so far count",
    Command.WHY: "hear why it is done, where that gives nothing away",
}
