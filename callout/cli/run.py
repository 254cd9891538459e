"""``callout run``: one checklist, challenged and answered."""

from __future__ import annotations

from typing import Any

import click

from callout.app.running.glancing import glance_page
from callout.app.running.list_session import run_session
from callout.app.running.single_list import load_setting
from callout.app.running.state_source import open_state_source
from callout.app.running.wishes import with_wishes
from callout.app.shared.naming import list_file
from callout.app.shared.settings import journal_folder, load_settings
from callout.app.shared.tables import default_tables
from callout.cli._options import session_options, session_wishes, warn_about
from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import option_help as sentences


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_RUN)
@click.argument("checklist")
@click.option("--flight", metavar="FILE", help=sentences.RUN_FLIGHT)
@click.option("--overlay", metavar="FILE", multiple=True, help=sentences.OVERLAY)
@click.option(
    "--take-over",
    is_flag=True,
    help=sentences.RUN_TAKE_OVER,
)
@session_options
def command(
    checklist: str,
    flight: str | None,
    overlay: tuple[str, ...],
    take_over: bool,
    journal_dir: str | None,
    **options: Any,
) -> None:
    """Run CHECKLIST: hear each challenge, give your reply.

    CHECKLIST is a file, or the name of a shipped list: before-start, sandling-two/taxi.

    Reply aloud or type and press Enter. "help" or ? shows what else you can say.
    """
    wanted = session_wishes(**options)
    settings = with_wishes(load_settings(), wanted)
    folder = journal_folder(journal_dir, settings)
    file = str(list_file(checklist))
    setting, about = load_setting(
        file, flight, overlay, folder, settings, received=take_over, tell=warn_about
    )
    plan = setting.plan({}, default_tables())
    with (
        glance_page(wanted, folder) as page,
        open_state_source(page, setting.flight.state) as shown,
    ):
        run_session(plan, folder, settings, shown, safety=SAFETY, setting=setting, about=about)
