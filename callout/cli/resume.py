"""``callout resume``: go on where a session was interrupted."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from callout.app.running.flying import resume_flight
from callout.app.running.glancing import glance_page
from callout.app.running.list_session import resume_session
from callout.app.running.single_list import setting_again
from callout.app.running.telling import declared_in, telling
from callout.app.running.unfinished import latest_unfinished, unfinished_journal
from callout.app.running.wishes import with_wishes
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._options import session_options, session_wishes
from callout.cli.main import SAFETY
from callout.core.flight_run.records import SectorBegan
from callout.core.planning.plan import Plan
from callout.core.planning.setting import Setting


@click.command(epilog=SAFETY, short_help="Continue an interrupted session.")
@click.argument("journal", required=False)
@session_options
def command(
    journal: str | None,
    journal_dir: str | None,
    **options: Any,
) -> None:
    """Go on with an unfinished list or flight: the latest, or the one kept in JOURNAL.

    It returns to the exact item, with every outcome before it.
    """
    wanted = session_wishes(**options)
    settings = with_wishes(load_settings(), wanted)
    folder = journal_folder(journal_dir, settings)
    read = unfinished_journal(Path(journal)) if journal else latest_unfinished(folder, _warn_person)
    path = read.path
    if isinstance(read.records[0], SectorBegan):
        declared = declared_in(read.records[0].about)
        with glance_page(wanted, path.parent.parent) as page, telling(page, declared) as shown:
            resume_flight(read, path.parent.parent, settings, shown, safety=SAFETY)
        return

    def setting_of(about: Mapping[str, str], plan: Plan) -> Setting | None:
        return setting_again(about, plan, folder, settings)

    declared = declared_in(getattr(read.records[0], "about", {}))
    with glance_page(wanted, folder) as page, telling(page, declared) as shown:
        resume_session(path, settings, shown, safety=SAFETY, setting_of=setting_of)


def _warn_person(message: str) -> None:
    click.echo(f"callout: {message}", err=True)
