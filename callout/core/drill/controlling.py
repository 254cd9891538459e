"""Spoken, typed and single-key control of a drill."""

from __future__ import annotations

from dataclasses import replace

from callout.core import wording
from callout.core.commands import Command, CommandTable, Found
from callout.core.drill import records as d
from callout.core.drill.putting import end, leave, put
from callout.core.drill.turn import DrillTurn
from callout.core.pacing import faster, slower
from callout.core.utterance import Utterance


def take_command(turn: DrillTurn, found: Found, said: Utterance | None) -> None:
    """Do what a command asks; ``said`` None: silence asked for it."""
    progress = turn.progress
    changes = _changed(turn, found.command)
    if said is not None:
        facts = {"pace": progress.pace, "quiet": progress.quiet, "held": progress.held, **changes}
        turn.record(d.DrillCommanded, command=found.command, utterance=said, **facts)
        turn.cut()
        turn.set(heard=said, verdict=None, lines=())
    _obey(turn, found.command)


def _changed(turn: DrillTurn, command: Command) -> dict[str, object]:
    progress = turn.progress
    match command:
        case Command.HOLD:
            return {"held": True}
        case Command.CONTINUE:
            return {"held": False}
        case Command.SLOWER:
            return {"pace": slower(progress.pace)}
        case Command.FASTER:
            return {"pace": faster(progress.pace)}
        case Command.QUIET | Command.READ_ALOUD:
            return {"quiet": command is Command.QUIET}
        case _:
            return {}


def _obey(turn: DrillTurn, command: Command) -> None:
    match command:
        case Command.STOP:
            end(turn, d.Over.STOPPED)
        case Command.HELP:
            lines = ("not known           hear the answer", *wording.help_lines(_usable(turn)))
            turn.set(lines=lines, sentence="")
            turn.news(*lines)
            turn.say(wording.help_spoken(_usable(turn)))
        case Command.HOLD:
            turn.tell("Holding.")
        case _ if turn.progress.held:
            turn.note('Holding. Say "continue" to go on.')
        case Command.SKIP:
            leave(turn, "Left out.")
        case Command.SAY_AGAIN | Command.CONTINUE | Command.READ_ALOUD:
            put(turn)
        case Command.WHAT_IS_LEFT:
            left = wording.counted(len(turn.progress.waiting), "exercise")
            minutes = turn.progress.seconds_left(turn.stamp.at) / 60
            turn.tell(f"{left} left, and {minutes:.0f} minutes.")
        case Command.SLOWER | Command.FASTER | Command.QUIET:
            turn.note(f"{command.value.capitalize()}.")
        case _:
            turn.note("That is not for a drill.")
            turn.rearm()


_HERE = {
    Command.SAY_AGAIN,
    Command.HOLD,
    Command.CONTINUE,
    Command.SKIP,
    Command.WHAT_IS_LEFT,
    Command.SLOWER,
    Command.FASTER,
    Command.QUIET,
    Command.READ_ALOUD,
    Command.HELP,
    Command.STOP,
}


def _usable(turn: DrillTurn) -> CommandTable:
    """Return the commands that mean something here, with what they do here."""
    table = turn.context.commands
    entries = (e for e in table.entries if e.command in _HERE)
    told = (replace(e, about=_ABOUT.get(e.command, e.about)) for e in entries)
    return replace(table, entries=tuple(told))


_ABOUT = {
    Command.SAY_AGAIN: "hear the exercise once more",
    Command.HOLD: "hold the drill here; its time stands still",
    Command.SKIP: "leave this one out; it does not count",
    Command.STOP: "end the drill; what was answered counts",
}
