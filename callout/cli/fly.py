"""``callout fly``: a whole flight, list by list."""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import Any

import click

from callout.cli._options import session_options, session_wishes, warn_about
from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import option_help as sentences


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_FLY)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--flight", metavar="FILE", help=sentences.FLY_FLIGHT)
@click.option("--overlay", metavar="FILE", multiple=True, help=sentences.OVERLAY)
@click.option("--first", metavar="LIST", default="", help=sentences.FLY_FIRST)
@click.option(
    "--as-found",
    metavar="CONDITION",
    default="",
    help=sentences.FLY_AS_FOUND,
)
@click.option(
    "--spring-memory",
    is_flag=True,
    help=sentences.FLY_SPRING_MEMORY,
)
@click.option(
    "--seed",
    type=click.IntRange(min=0),
    help=sentences.FLY_SEED,
)
@session_options
def command(
    folder: Path,
    flight: str | None,
    overlay: tuple[str, ...],
    first: str,
    as_found: str,
    spring_memory: bool,
    seed: int | None,
    journal_dir: str | None,
    **options: Any,
) -> None:
    """Run the lists of one aircraft through a flight.

    FOLDER holds the lists, or is the name of a shipped aircraft: sandling-two.

    Call for a list by its name or trigger, or call out the point in the flight. callout says which
    list is due, warns if you call one out of order, and never starts one by itself.
    """
    from callout.app.running.flight_folder import load_folder, with_own_wordings
    from callout.app.running.flying import FlightWishes, run_flight
    from callout.app.running.glancing import glance_page
    from callout.app.running.state_source import open_state_source
    from callout.app.running.wishes import with_wishes
    from callout.app.shared.naming import aircraft_folder
    from callout.app.shared.own_wordings import wordings_of
    from callout.app.shared.settings import journal_folder, load_settings

    folder = aircraft_folder(folder)
    wanted = session_wishes(**options)
    settings = with_wishes(load_settings(), wanted)
    files = {
        "folder": str(folder.resolve()),
        **({"flight": str(Path(flight).resolve())} if flight else {}),
        **({"overlays": "\n".join(str(Path(o).resolve()) for o in overlay)} if overlay else {}),
    }
    journals = journal_folder(journal_dir, settings)
    own = wordings_of(journals, settings.crew_name)
    loaded, problems = with_own_wordings(load_folder(folder, flight, overlay), own)
    for problem in problems:
        warn_about(problem)
    lot = secrets.randbelow(1_000_000) if seed is None else seed
    begin = FlightWishes(first, " ".join(as_found.split()), lot if spring_memory else None)
    with (
        glance_page(wanted, journals) as page,
        open_state_source(page, loaded.flight.state) as shown,
    ):
        run_flight(loaded, journals, settings, shown, begin, safety=SAFETY, about=files)
