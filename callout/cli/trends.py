"""``callout trends``: what many sessions show together."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import click

from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._report_options import prints_plainly, report_options, write_all
from callout.core.debrief.rates import SessionChoice
from callout.core.debrief.shown import shown_text
from callout.core.debrief.trends import Trends
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import report_options as sentences

_DAY = click.DateTime(["%Y-%m-%d"])


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_TRENDS)
@report_options
@click.option(
    "--from",
    "collection",
    type=click.Path(path_type=Path),
    help=sentences.FROM,
)
@click.option("--person", metavar="NAME", help=sentences.TRENDS_PERSON)
@click.option("--aircraft", metavar="NAME", default="", help=sentences.TRENDS_AIRCRAFT)
@click.option("--list", "list_id", metavar="ID", default="", help=sentences.TRENDS_LIST)
@click.option("--phase", metavar="PHASE", default="", help=sentences.TRENDS_PHASE)
@click.option("--since", metavar="DATE", type=_DAY, help=sentences.TRENDS_SINCE)
@click.option("--until", metavar="DATE", type=_DAY, help=sentences.TRENDS_UNTIL)
@click.option(
    "--compare",
    multiple=True,
    metavar="NAME",
    help=sentences.TRENDS_COMPARE,
)
def command(
    plain: bool,
    journal_dir: str | None,
    collection: Path | None,
    person: str | None,
    aircraft: str,
    list_id: str,
    phase: str,
    since: datetime | None,
    until: datetime | None,
    compare: tuple[str, ...],
    **wanted: str | bool | None,
) -> None:
    """Look at many sessions together: what goes wrong, how often, where, and whether it changes.

    Drills do not count. Journals are only read, never changed; unreadable ones are named.
    """
    from callout.app.reports.class_sources import collected_facts
    from callout.app.reports.drill_effect import with_drills
    from callout.app.reports.journals import read_folder
    from callout.app.reports.trending import trends_of
    from callout.reporting.tables import csv_text, json_text
    from callout.reporting.trend_page import (
        trend_rows,
        trends_json,
        trends_markdown,
        trends_page,
    )

    if len(compare) == 1:
        raise click.UsageError("--compare needs at least two names.")
    last = until + timedelta(days=1) if until else None
    choice = SessionChoice(person, aircraft, list_id, phase, _utc_day(since), _utc_day(last))
    settings = load_settings()
    known = (
        collected_facts(collection, person)
        if collection
        else read_folder(journal_folder(journal_dir, settings))
    )
    for problem in known.problems:
        click.echo(f"callout: {shown_text(problem)}", err=True)
    trends = trends_of(known, choice, compare)
    if not collection:
        trends = with_drills(trends, journal_folder(journal_dir, settings))
    makers = {
        "html": lambda: trends_page(trends, SAFETY),
        "markdown": lambda: trends_markdown(trends, SAFETY),
        "csv": lambda: csv_text(trend_rows(trends), SAFETY),
        "json": lambda: json_text(trends_json(trends), SAFETY),
    }
    if not write_all(wanted, makers):
        _print_trends(trends, prints_plainly(plain, settings.plain))


def _print_trends(trends: Trends, plain: bool) -> None:
    from callout.terminal.debriefing import console_for
    from callout.terminal.trends import draw_trends, trend_lines

    if plain:
        for line in trend_lines(trends, SAFETY):
            click.echo(line)
    else:
        draw_trends(trends, SAFETY, console_for(load_settings().colours))


def _utc_day(day: datetime | None) -> datetime | None:
    return day.replace(tzinfo=UTC) if day else None
