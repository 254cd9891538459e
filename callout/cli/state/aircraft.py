"""``callout state aircraft``: a small simulated aircraft, as a bridge of its own."""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path

import click

from callout.app.running.wishes import STATE_PORT
from callout.app.shared.naming import aircraft_folder
from callout.cli.main import SAFETY
from callout.core.debrief.shown import shown_text
from callout.core.sentences.commands import command_help as sentences
from callout.core.sentences.commands import option_help
from callout.errors import CalloutError


@click.command(epilog=SAFETY, short_help=sentences.COMMAND_STATE_AIRCRAFT)
@click.argument("aircraft", type=click.Path(path_type=Path))
@click.option(
    "--state-port",
    type=click.IntRange(1024, 65534),
    default=STATE_PORT,
    show_default=True,
    help=option_help.STATE_PORT,
)
@click.option("--to-the-end", is_flag=True, help=option_help.STATE_AIRCRAFT_TO_THE_END)
def command(aircraft: Path, state_port: int, to_the_end: bool) -> None:
    """Simulate AIRCRAFT, one of the shipped ones, and send a session the positions of its controls.

    Type orders, one on each line: "beacon on", "altimeter 1018", "fail battery", "mend battery".
    """
    from callout.app.running.simulated import load_aircraft, run_aircraft

    loaded = load_aircraft(aircraft_folder(aircraft))

    def refuse(error: CalloutError) -> None:
        click.echo(f"{shown_text(error.message)} {shown_text(error.hint)}", err=True)

    with suppress(KeyboardInterrupt):
        run_aircraft(loaded, state_port, sys.stdin, refuse, wait=not to_the_end)
