"""``callout journal``: what is kept of each session."""

from __future__ import annotations

import json
from dataclasses import asdict
from enum import Enum
from itertools import islice
from pathlib import Path
from typing import Any

import click

from callout.app.settings import journal_folder, load_settings
from callout.core.drill.records import DrillBegan
from callout.core.drill.state import replay_drill
from callout.core.drill.summary import DrillSummary, summarise_drill
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import in_use
from callout.journal.summary import JournalInfo, info_of, newest_first
from callout.terminal.report import report_lines


@click.command(short_help="List the sessions kept, or sum one up.")
@click.argument("journal", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print the summary as JSON.")
@click.option("--last", default=20, show_default=True, help="How many to list; 0 for all.")
@click.option("--journal-dir", metavar="FOLDER", help="Where journals are kept.")
def command(journal: str | None, as_json: bool, last: int, journal_dir: str | None) -> None:
    """List the sessions kept, newest first, or sum up the one in JOURNAL."""
    if journal:
        drill = _drill_in(Path(journal))
        if drill:
            _show_drill(drill, as_json)
        else:
            _show(info_of(Path(journal)), as_json)
        return
    folder = journal_folder(journal_dir, load_settings())
    found = list(islice(newest_first(folder), last or None))
    for info in found:
        if isinstance(info, JournalDamaged):
            click.echo(f"callout: {info.message}", err=True)
        else:
            click.echo(_json(info) if as_json else _line(info))
    if not found and not as_json:
        click.echo(f"No session is kept in {folder} yet.")


def _show(info: JournalInfo, as_json: bool) -> None:
    if as_json:
        click.echo(_json(info))
        return
    for line in report_lines(info.summary):
        click.echo(line)


def _drill_in(path: Path) -> DrillSummary | None:
    records = read_journal(path).records
    began = isinstance(records[0], DrillBegan) if records else False
    return summarise_drill(replay_drill(records)) if began else None


def _show_drill(summary: DrillSummary, as_json: bool) -> None:
    lines = [json.dumps(asdict(summary), default=_plain, ensure_ascii=False)]
    for line in lines if as_json else report_lines(summary):
        click.echo(line)


def _line(info: JournalInfo) -> str:
    ending = info.progress.ending
    state = ending.value if ending else "running" if in_use(info.path) else "unfinished"
    began = info.began.astimezone().strftime("%Y-%m-%d %H:%M")
    return f"{began}  {state:<10}  {info.progress.plan.title}  {info.path}"


def _json(info: JournalInfo) -> str:
    facts = {"journal": str(info.path), "began": info.began.isoformat(), **asdict(info.summary)}
    return json.dumps(facts, default=_plain, ensure_ascii=False)


def _plain(value: Any) -> Any:
    return value.value if isinstance(value, Enum) else str(value)
