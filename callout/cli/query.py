"""``callout query``: the standard report on a collection, and plain SQL for the curious."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help, report_answers
from callout.core.sentences.commands import report_options as sentences

PARTS = (
    "causes", "lists", "phases", "items", "months",
    "times-by-phase", "times-by-item", "times-by-month",
)  # fmt: skip
_FORMATS = ("table", "csv", "json")


@click.command("query", epilog=SAFETY, short_help=command_help.COMMAND_QUERY)
@click.argument("sql", required=False)
@click.option(
    "--on",
    "target",
    type=click.Path(path_type=Path),
    help=sentences.QUERY_ON,
)
@click.option("--report", is_flag=True, help=sentences.QUERY_REPORT)
@click.option(
    "--part",
    "parts",
    multiple=True,
    type=click.Choice(PARTS),
    help=sentences.QUERY_PART,
)
@click.option("--columns", is_flag=True, help=sentences.QUERY_COLUMNS)
@click.option("--sql-of", type=click.Choice(PARTS), help=sentences.QUERY_SQL_OF)
@click.option(
    "--format",
    "form",
    type=click.Choice(_FORMATS),
    default="table",
    show_default=True,
    help=sentences.QUERY_FORMAT,
)
@click.option("--rows", type=click.IntRange(0), help=sentences.QUERY_ROWS)
@click.option("--memory", default="1GB", show_default=True, help=sentences.MEMORY)
@click.option(
    "--seconds",
    type=click.FloatRange(1),
    default=300,
    show_default=True,
    help=sentences.QUERY_SECONDS,
)
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    help=sentences.QUERY_WORKERS,
)
@click.option("--scheduler", default="", metavar="ADDRESS", help=sentences.QUERY_SCHEDULER)
@click.option("--keys", type=click.Path(path_type=Path), metavar="FOLDER", help=sentences.KEYS)
def command(
    sql: str | None,
    target: Path | None,
    report: bool,
    parts: tuple[str, ...],
    columns: bool,
    sql_of: str | None,
    form: str,
    rows: int | None,
    memory: str,
    seconds: float,
    workers: int | None,
    scheduler: str,
    keys: Path | None,
) -> None:
    """Answer the SQL query, or print the standard report.

    The collection is only read: SQL cannot reach other files, the network or settings. A query that
    exceeds its memory or time is stopped; Ctrl-C stops it at once. A lone - reads the query from
    standard input.

    \b
    callout query --report
    callout query "SELECT challenge, count(*) FROM items WHERE skipped GROUP BY ALL"
    """
    from callout.app.reports.collecting import default_collection
    from callout.app.reports.querying import Question, TextForm, answer_query
    from callout.store.engine import query_text

    most = rows if rows is not None else 40 if form == "table" else 0
    if columns:
        _print_columns()
    elif sql_of:
        click.echo(query_text(sql_of), nl=False)
    elif (report or parts) and (workers or scheduler):
        _print_spread(target, form, most, memory, workers or 1, (scheduler, keys), parts or PARTS)
    elif report or parts or sql:
        text = None if report or parts else _typed_query(sql)
        shown = () if text is not None else parts or PARTS
        where = str(target or default_collection())
        question = Question(where, text, shown, TextForm(form), most, memory)
        with answer_query(question, seconds) as pieces:
            for piece in pieces:
                click.echo(piece, nl=False)
    else:
        raise click.UsageError(report_answers.NO_QUERY)


def _typed_query(sql: str | None) -> str:
    from callout.app.reports.querying import LONGEST

    return sys.stdin.read(LONGEST + 1) if sql == "-" else sql or ""


def _print_spread(
    target: Path | None, form: str, most: int, memory: str,
    workers: int, elsewhere: tuple[str, Path | None], parts: Sequence[str],
) -> None:  # fmt: skip
    from callout.app.reports.collecting import default_collection
    from callout.app.reports.querying import TextForm, report_text
    from callout.store.cluster import spread_report
    from callout.store.workers import Elsewhere

    chosen = target or default_collection()
    found = spread_report(chosen, workers, memory, Elsewhere(*elsewhere), tuple(parts))
    for piece in report_text(found, TextForm(form), most):
        click.echo(piece, nl=False)


def _print_columns() -> None:
    from callout.core.debrief.columns import TABLES

    for name, listed in TABLES.items():
        click.echo(name)
        for column in listed:
            click.echo(f"  {column.name:<14} {column.kind.value:<9} {column.about}")
    click.echo(
        "counts, times\n  what the standard report is made from: callout query --sql-of items"
    )
