"""``callout state read``: the contents of a recorded stream, and its errors."""

from __future__ import annotations

from pathlib import Path

import click

from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight
from callout.app.shared.naming import aircraft_folder
from callout.cli.main import SAFETY
from callout.core.debrief.shown import shown_text
from callout.core.model.counting import counted_noun
from callout.core.sentences.commands import answers as sentences
from callout.core.sentences.commands import command_help


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_STATE_READ)
@click.argument("recording", type=click.Path(path_type=Path))
@click.argument("aircraft", type=click.Path(path_type=Path))
def command(recording: Path, aircraft: Path) -> None:
    """Read RECORDING by the state that AIRCRAFT declares; show what is set at its end.

    AIRCRAFT is a folder, or the name of a shipped aircraft: sandling-two.
    """
    from callout.core.state.board import shown_value
    from callout.core.state.stream import Stream, take_line
    from callout.state.recording import read_recording

    declared = load_flight(aircraft_folder(aircraft) / FLIGHT_FILE).state
    stream, moved = Stream(declared), 0
    for number, entry in enumerate(read_recording(recording)):
        at = number * 1e-6 if entry.at is None else entry.at
        stream, moves = take_line(stream, entry.line, entry.peer, at)
        moved += len(moves)
    click.echo(f"{counted_noun(stream.taken, 'message')} taken, {counted_noun(moved, 'move')}.")
    for fault, count in stream.counts.items():
        click.echo(sentences.not_fully_read(counted_noun(count, "line"), fault.value))
    values = stream.board.values
    for name, quantity in declared.items():
        value = values.get(name)
        told = "not known" if value is None else shown_value(value, quantity.unit)
        click.echo(f"  {shown_text(quantity.spoken_name)}: {shown_text(told)}")
