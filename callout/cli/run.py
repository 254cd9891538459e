"""``callout run``: one checklist, challenged and answered."""

from __future__ import annotations

from typing import Any

import click

from callout.app.checklist_files import flight_beside, load_checklist, load_flight
from callout.app.settings import journal_folder, load_settings
from callout.app.tables import default_tables
from callout.app.wiring import run_session
from callout.cli._options import session_options, wishes
from callout.cli.main import SAFETY
from callout.core.flight import EMPTY_FLIGHT
from callout.core.planning import plan_for


@click.command(epilog=SAFETY)
@click.argument("checklist")
@click.option("--flight", metavar="FILE", help="Flight data; else flight.yaml beside the list.")
@click.option("--overlay", metavar="FILE", multiple=True, help="Operator overlay; may repeat.")
@session_options
def command(
    checklist: str,
    flight: str | None,
    overlay: tuple[str, ...],
    journal_dir: str | None,
    **options: Any,
) -> None:
    """Run CHECKLIST: hear each challenge, give your reply.

    Reply aloud or type and press Enter. "help" or ? shows what else you can say.
    """
    settings = load_settings()
    items = load_checklist(checklist, overlay)
    beside = flight or flight_beside(checklist)
    data = load_flight(beside) if beside else EMPTY_FLIGHT
    plan = plan_for(items, data, default_tables(), crew=settings.crew)
    folder = journal_folder(journal_dir, settings)
    wanted = wishes(**options)
    run_session(plan, folder, settings, wanted, safety=SAFETY, source=checklist)
