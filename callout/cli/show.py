"""``callout show``: print a list so that a person can read it through."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import list_options as sentences
from callout.outlet import drawing_stream

_FILE = click.Path(path_type=Path)


@click.command("show", epilog=SAFETY, short_help=command_help.COMMAND_SHOW)
@click.argument("file", type=_FILE)
@click.option(
    "--overlay",
    "overlays",
    multiple=True,
    metavar="FILE",
    type=_FILE,
    help=sentences.SHOW_OVERLAY,
)
@click.option(
    "--flight",
    "flight_file",
    metavar="FILE",
    type=_FILE,
    help=sentences.SHOW_FLIGHT,
)
@click.option("--origins", is_flag=True, help=sentences.SHOW_ORIGINS)
@click.option("--plain", is_flag=True, help=sentences.SHOW_PLAIN)
def command(
    file: Path, overlays: tuple[Path, ...], flight_file: Path | None, origins: bool, plain: bool
) -> None:
    """Print the list in FILE with its values filled in and its overlays merged.

    FILE may be the name of a shipped list: before-start, sandling-two/taxi.
    """
    from callout.app.shared.checklist_files import flight_beside, load_checklist, load_flight
    from callout.app.shared.naming import file_or_folder
    from callout.app.shared.tables import default_tables
    from callout.core.printing.shown_list import shown_list
    from callout.terminal.list_view import draw_list

    file = file_or_folder(file)
    checklist = load_checklist(file, overlays)
    beside = flight_file or flight_beside(file)
    flight = load_flight(beside) if beside else None
    shown = shown_list(checklist, flight, default_tables())
    text = draw_list(shown, SAFETY, plain=plain, origins=origins or bool(overlays))
    drawing_stream(sys.stdout).write(f"{text}\n")
