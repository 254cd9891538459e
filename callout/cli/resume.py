"""``callout resume``: go on where a session was broken off."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from callout.app.settings import journal_folder, load_settings
from callout.app.wiring import resume_session
from callout.cli._options import session_options, wishes
from callout.cli.main import SAFETY
from callout.errors import CalloutError, JournalDamaged
from callout.journal.jsonl_writer import in_use
from callout.journal.summary import info_of, newest_first


@click.command(epilog=SAFETY)
@click.argument("journal", required=False)
@session_options
def command(
    journal: str | None,
    journal_dir: str | None,
    **options: Any,
) -> None:
    """Go on with an unfinished session: the latest, or the one kept in JOURNAL.

    It returns to the exact item, with every outcome before it.
    """
    settings = load_settings()
    folder = journal_folder(journal_dir, settings)
    path = _unfinished(Path(journal)) if journal else _latest(folder)
    resume_session(path, settings, wishes(**options), safety=SAFETY)


def _unfinished(path: Path) -> Path:
    if not info_of(path).unfinished:
        raise CalloutError(f"The session in {path} is finished.", "Start anew with: callout run")
    return path


def _latest(folder: Path) -> Path:
    for found in newest_first(folder):
        if isinstance(found, JournalDamaged):
            click.echo(f"callout: {found.message}", err=True)
        elif found.unfinished and not in_use(found.path):
            return found.path
    raise CalloutError(f"No unfinished session is kept in {folder}.", "Start one with: callout run")
