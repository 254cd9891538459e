"""``callout resume``: continue where a session was interrupted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from callout.app.running.resuming import go_on
from callout.app.running.unfinished import latest_unfinished, unfinished_journal
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._options import session_options, session_wishes
from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help as sentences


@click.command(epilog=SAFETY, short_help=sentences.COMMAND_RESUME)
@click.argument("journal", required=False)
@session_options
def command(
    journal: str | None,
    journal_dir: str | None,
    **options: Any,
) -> None:
    """Continue an unfinished list or flight: the latest, or the one in JOURNAL.

    It returns to the exact item, with every outcome before it.
    """
    wanted = session_wishes(**options)
    settings = load_settings()
    folder = journal_folder(journal_dir, settings)
    read = unfinished_journal(Path(journal)) if journal else latest_unfinished(folder, _warn_person)
    go_on(read, folder, settings, wanted)


def _warn_person(message: str) -> None:
    click.echo(f"callout: {message}", err=True)
