"""``callout journal``: what is stored about each session."""

from __future__ import annotations

import json
from dataclasses import asdict
from enum import Enum
from itertools import islice
from pathlib import Path
from typing import Any

import click

from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._report_options import journal_dir_option
from callout.core.model.counting import counted_noun
from callout.core.sentences.commands import command_help, report_answers
from callout.core.sentences.commands import report_options as sentences
from callout.core.sentences.kept_sound import sounds_told
from callout.errors import JournalDamaged
from callout.journal.jsonl_writer import in_use
from callout.journal.sound_files import kept_sounds, sound_folder
from callout.journal.summary import DrillInfo, FlightInfo, Info, info_of, newest_first
from callout.terminal.report import report_lines


@click.command(short_help=command_help.COMMAND_JOURNAL)
@click.argument("journal", required=False)
@click.option("--json", "as_json", is_flag=True, help=sentences.JOURNAL_JSON)
@click.option("--rows", "last", default=20, show_default=True, help=sentences.JOURNAL_ROWS)
@click.option(
    "--repair",
    is_flag=True,
    help=sentences.JOURNAL_REPAIR,
)
@journal_dir_option
def command(
    journal: str | None, as_json: bool, last: int, repair: bool, journal_dir: str | None
) -> None:
    """List your sessions, newest first, or summarise the one in JOURNAL.

    Each flight is followed by its lists, in the order they were called for.
    """
    if repair:
        _repair_journal(journal)
    elif journal:
        _show_summary(info_of(Path(journal)), as_json)
    else:
        _list_sessions(journal_folder(journal_dir, load_settings()), last, as_json)


def _repair_journal(journal: str | None) -> None:
    from callout.cli._repair_view import repair_lines
    from callout.journal.repair import repair_journal

    if not journal:
        raise click.UsageError("Name the journal to repair: callout journal --repair JOURNAL")
    for line in repair_lines(repair_journal(Path(journal))):
        click.echo(line)


def _list_sessions(folder: Path, last: int, as_json: bool) -> None:
    found = list(islice(newest_first(folder), last or None))
    for info in found:
        _tell_session(info, "", as_json)
        for part in info.lists() if isinstance(info, FlightInfo) else ():
            _tell_session(part, "  ", as_json)
    if not found and not as_json:
        click.echo(report_answers.no_sessions_yet(folder))


def _tell_session(info: Info | JournalDamaged, indent: str, as_json: bool) -> None:
    if isinstance(info, JournalDamaged):
        click.echo(f"callout: {info.message}", err=True)
    else:
        click.echo(_session_json(info) if as_json else f"{indent}{_session_line(info)}")


def _show_summary(info: Info, as_json: bool) -> None:
    if as_json:
        click.echo(_session_json(info))
        return
    for line in report_lines(info.summary):
        click.echo(line)
    if sounds := kept_sounds(info.path):
        size = sum(path.stat().st_size for path in sounds.values()) / 1e6
        click.echo(f"  {sounds_told(len(sounds), f'{size:.1f} MB', sound_folder(info.path))}")
    if info.lost:
        gone = counted_noun(info.lost, "record")
        click.echo(report_answers.lost_in_repair(gone))


def _session_line(info: Info) -> str:
    state = info.ending or ("running" if in_use(info.path) else "unfinished")
    began = info.began.astimezone().strftime("%Y-%m-%d %H:%M")
    kind = "Flight: " if isinstance(info, FlightInfo) else ""
    sounds = len(kept_sounds(info.path))
    kept = f"  ({counted_noun(sounds, 'sound')} kept)" if sounds else ""
    return f"{began}  {state:<10}  {kind}{info.title}  {info.path}{kept}"


def _session_json(info: Info) -> str:
    kind = {FlightInfo: "flight", DrillInfo: "drill"}.get(type(info), "list")
    flight = info.path.stem if isinstance(info, FlightInfo) else getattr(info, "flight", "")
    facts = {
        "journal": str(info.path),
        "began": info.began.isoformat(),
        "kind": kind,
        "flight": flight,
        "lost": info.lost,
        "sounds": len(kept_sounds(info.path)),
    }
    return json.dumps({**facts, **asdict(info.summary)}, default=_plain_value, ensure_ascii=False)


def _plain_value(value: Any) -> Any:
    return value.value if isinstance(value, Enum) else str(value)
