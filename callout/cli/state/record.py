"""``callout state record``: records what a bridge sends."""

from __future__ import annotations

import time
from pathlib import Path

import click

from callout.app.running.state_source import bridge_address
from callout.app.running.wishes import STATE_PORT
from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight
from callout.app.shared.naming import aircraft_folder
from callout.cli.main import SAFETY
from callout.core.model.counting import counted_noun
from callout.core.sentences.commands import answers as sentences
from callout.core.sentences.commands import command_help, option_help
from callout.errors import CalloutError

_TURN_S = 0.2


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_STATE_RECORD)
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("aircraft", type=click.Path(path_type=Path))
@click.option(
    "--state-port",
    type=click.IntRange(1024, 65534),
    default=STATE_PORT,
    show_default=True,
    help=option_help.STATE_PORT,
)
@click.option("--seconds", type=click.FloatRange(0.1), help=option_help.STATE_RECORD_SECONDS)
def command(file: Path, aircraft: Path, state_port: int, seconds: float | None) -> None:
    """Record in FILE what a bridge sends about AIRCRAFT.

    `callout run LIST --state FILE` plays it. AIRCRAFT is a folder, or the name of a shipped one.
    """
    from callout.state.feed import Feed
    from callout.state.listening import LOOPBACK, StatePort
    from callout.state.recording import recording_head

    declared = load_flight(aircraft_folder(aircraft) / FLIGHT_FILE).state
    try:
        stream = file.open("x", encoding="utf-8")
    except OSError as error:
        said = sentences.cannot_be_written(file, error.strerror)
        raise CalloutError(said, sentences.RECORDING_EXISTS_HINT) from error
    with stream:
        stream.write(recording_head())
        port = StatePort(Feed(declared, time.monotonic, stream), LOOPBACK, state_port)
        port.open()
        try:
            click.echo(bridge_address(port.port, ""))
            _wait(seconds)
        finally:
            port.close()
    told = port.feed.stream
    click.echo(sentences.saved_in(counted_noun(told.taken, "message"), file))


def _wait(seconds: float | None) -> None:
    end = None if seconds is None else time.monotonic() + seconds
    try:
        while end is None or time.monotonic() < end:
            time.sleep(_TURN_S)
    except KeyboardInterrupt:
        click.echo()
