"""Options that the report commands share."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

import click

from callout.core.sentences.commands import report_options as sentences

journal_dir_option = click.option(
    "--journal-dir",
    metavar="FOLDER",
    help=sentences.JOURNAL_DIR,
)
FORMATS = ("html", "markdown", "csv", "json")
_OPTIONS = (
    click.option("--html", metavar="FILE", help=sentences.HTML),
    click.option("--markdown", metavar="FILE", help=sentences.MARKDOWN),
    click.option("--csv", metavar="FILE", help=sentences.CSV),
    click.option("--json", "as_json", is_flag=True, help=sentences.JSON),
    click.option("--json-file", "json", metavar="FILE", help=sentences.JSON_FILE),
    click.option("--plain", is_flag=True, help=sentences.PLAIN),
    journal_dir_option,
)


def report_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the report options to a command."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def write_all(wanted: dict[str, str | bool | None], makers: dict[str, Callable[[], str]]) -> bool:
    """Write each report asked for and say where; return whether any went to standard output."""
    from callout.app.reports.report_files import STDOUT, write_report

    chosen = {**wanted, "json": STDOUT if wanted["as_json"] else wanted["json"]}
    printed = STDOUT in chosen.values()
    for name in FORMATS:
        where = chosen[name]
        if where:
            write_report(str(where), makers[name])
            if where != STDOUT:
                click.echo(f"Written: {where}", err=printed)
    return printed


def prints_plainly(asked: bool, settings_plain: bool) -> bool:
    """Say whether to print without drawing."""
    return asked or settings_plain or not sys.stdout.isatty()
