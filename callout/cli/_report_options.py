"""Options that the report commands share."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

import click

FORMATS = ("html", "markdown", "csv", "json")
_OPTIONS = (
    click.option("--html", metavar="FILE", help="Write a page with charts that opens offline."),
    click.option("--markdown", metavar="FILE", help='Write Markdown; "-" prints it.'),
    click.option("--csv", metavar="FILE", help='Write a table for spreadsheets; "-" prints it.'),
    click.option("--json", metavar="FILE", help='Write everything as JSON; "-" prints it.'),
    click.option("--plain", is_flag=True, help="One fact a line, for screen readers and pipes."),
    click.option(
        "--journal-dir",
        metavar="FOLDER",
        help="Where journals are kept (else CALLOUT_JOURNAL_DIR, else your data folder).",
    ),
)


def report_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the report options to a command."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def write_all(wanted: dict[str, str | None], makers: dict[str, Callable[[], str]]) -> bool:
    """Write each report asked for; say where; return whether any went to standard output."""
    from callout.app.reports.report_files import STDOUT, write_report

    for name in FORMATS:
        where = wanted[name]
        if where:
            write_report(where, makers[name])
            if where != STDOUT:
                click.echo(f"Written: {where}", err=STDOUT in wanted.values())
    return STDOUT in wanted.values()


def plainly(asked: bool, settings_plain: bool) -> bool:
    """Say whether to print without drawing."""
    return asked or settings_plain or not sys.stdout.isatty()
