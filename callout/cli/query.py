"""``callout query``: the standard report on a collection, and plain SQL for the curious."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.cli.main import SAFETY

if TYPE_CHECKING:
    from callout.store.asking import QuerySection

PARTS = (
    "causes", "lists", "phases", "items", "months",
    "times-by-phase", "times-by-item", "times-by-month",
)  # fmt: skip
_FORMATS = ("table", "csv", "json")


@click.command("query", epilog=SAFETY, short_help="Ask a collection of journals with SQL.")
@click.argument("sql", required=False)
@click.option(
    "--on",
    "target",
    type=click.Path(path_type=Path),
    help="Database of `callout collect`, or a folder of its Parquet files [default: your own].",
)
@click.option("--report", is_flag=True, help="Print the standard report instead.")
@click.option(
    "--part", "parts", multiple=True, type=click.Choice(PARTS), help="A part of it; may repeat."
)
@click.option("--columns", is_flag=True, help="Say which tables and columns there are, and stop.")
@click.option("--sql-of", type=click.Choice(PARTS), help="Print the SQL of a part, and stop.")
@click.option(
    "--format", "form", type=click.Choice(_FORMATS), default="table", show_default=True, help="How."
)
@click.option("--rows", type=click.IntRange(0), help="Most rows [default: 40 in a table; 0: all].")
@click.option("--memory", default="1GB", show_default=True, help="What the database may hold.")
@click.option(
    "--seconds", type=click.FloatRange(1), default=300, show_default=True, help="How long at most."
)
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    help="Work the report out in so many processes, from Parquet files.",
)
@click.option("--scheduler", default="", help="Address of a running Dask scheduler for that.")
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
) -> None:
    """Answer the SQL query, or print the standard report.

    The collection is only read: no other file, no network, no setting can be reached from SQL.
    A lone - reads the query from standard input.

    \b
    callout query --report
    callout query "SELECT challenge, count(*) FROM items WHERE skipped GROUP BY ALL"
    """
    from callout.app.reports.collecting import default_collection
    from callout.store.engine import query_text

    most = rows if rows is not None else 40 if form == "table" else 0
    if columns:
        _print_columns()
    elif sql_of:
        click.echo(query_text(sql_of), nl=False)
    elif report or parts:
        chosen = target or default_collection()
        found = _sections(chosen, parts or PARTS, memory, workers, scheduler)
        _print_report(found, form, most)
    elif sql:
        _print_answer(target or default_collection(), sql, form, most, memory, seconds)
    else:
        raise click.UsageError("Give a query in SQL, or --report.")


def _sections(
    target: Path, parts: Iterable[str], memory: str, workers: int | None, scheduler: str
) -> Iterator[QuerySection]:
    if workers or scheduler:
        from callout.store.cluster import spread_report

        yield from spread_report(target, workers or 1, memory, scheduler, tuple(parts))
        return
    from callout.store.asking import report
    from callout.store.engine import reading

    with reading(target, memory) as connection:
        yield from report(connection, tuple(parts))


def _print_report(found: Iterable[QuerySection], form: str, most: int) -> None:
    from callout.terminal.tables import csv_lines, draw_table, json_text

    if form == "json":
        click.echo(json_text({s.name: (s.columns, s.rows) for s in found}))
        return
    for number, section in enumerate(found):
        if number:
            click.echo()
        if form == "table":
            click.echo(f"{section.name}: {section.about}")
            click.echo(draw_table(section.columns, section.rows, most))
        else:
            click.echo("".join(csv_lines(section.columns, section.rows, most)), nl=False)


def _print_answer(
    target: Path, sql: str, form: str, most: int, memory: str, seconds: float
) -> None:
    from callout.store.asking import ask
    from callout.store.engine import reading
    from callout.terminal.tables import csv_lines, draw_table, json_rows

    text = sys.stdin.read() if sql == "-" else sql
    with reading(target, memory) as connection:
        answer = ask(connection, text, seconds)
        if form == "csv":
            for line in csv_lines(answer.columns, answer.rows, most):
                click.echo(line, nl=False)
        elif form == "json":
            for line in json_rows(answer.columns, answer.rows, most):
                click.echo(line)
        else:
            click.echo(draw_table(answer.columns, answer.rows, most))


def _print_columns() -> None:
    from callout.core.debrief.columns import TABLES

    for name, listed in TABLES.items():
        click.echo(name)
        for column in listed:
            click.echo(f"  {column.name:<14} {column.kind.value:<9} {column.about}")
    click.echo(
        "counts, times\n  what the standard report is made from: callout query --sql-of items"
    )
