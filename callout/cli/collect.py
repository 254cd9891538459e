"""``callout collect``: journals into one database, for reports and plain SQL."""

from __future__ import annotations

import gc
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.core.sentences.commands import command_help, report_answers
from callout.core.sentences.commands import report_options as sentences

if TYPE_CHECKING:
    from callout.store.collection import Collection
    from callout.store.processes import Share

_FOLDER = click.Path(path_type=Path)


@click.command("collect", short_help=command_help.COMMAND_COLLECT)
@click.argument("folders", nargs=-1, type=_FOLDER)
@click.option("--into", type=_FOLDER, help=sentences.COLLECT_INTO)
@click.option("--parquet", type=_FOLDER, help=sentences.COLLECT_PARQUET)
@click.option("--anew", is_flag=True, help=sentences.COLLECT_ANEW)
@click.option("--school", default="", metavar="NAME", help=sentences.COLLECT_SCHOOL)
@click.option("--memory", default="1GB", show_default=True, help=sentences.MEMORY)
@click.option("--workers", type=click.IntRange(1, 64), help=sentences.COLLECT_WORKERS)
@click.option("--scheduler", default="", metavar="ADDRESS", help=sentences.COLLECT_SCHEDULER)
@click.option("--keys", type=_FOLDER, metavar="FOLDER", help=sentences.KEYS)
def command(
    folders: tuple[Path, ...], into: Path | None, parquet: Path | None, anew: bool, school: str,
    memory: str, workers: int | None, scheduler: str, keys: Path | None,
) -> None:  # fmt: skip
    """Load the journals of FOLDERS [default: your own] into one database.

    It reads only journals that are new or changed, drops the rows of journals that are gone, and
    names damaged ones. It writes only the database, and a list of databases so that `callout
    forget` can find them. Nothing is sent anywhere.

    \b
    callout collect
    callout collect trainees/* --into school.duckdb --parquet school/
    callout query "SELECT person, count(*) FROM sessions GROUP BY person"
    """
    from callout.app.reports.collecting import (
        default_collection,
        note_collection,
        open_for_collecting,
    )
    from callout.app.reports.trainees import checked_folders
    from callout.app.shared.settings import journal_folder, load_settings
    from callout.store.rebuilding import rebuild_database

    gc.freeze()  # looking through what the libraries made, again and again, takes a tenth
    chosen = checked_folders(folders or [journal_folder(None, load_settings())])
    target = into or default_collection()
    note_collection(target, parquet)
    gone = 0
    with (
        _readers(workers, scheduler, keys) as share,
        open_for_collecting(target, memory, anew) as collection,
    ):
        for folder in chosen:
            gone += _load_folder(folder, collection, school, share)
        if parquet:
            _write_parquet(collection, parquet)
        counts = collection.counts()
    said = ", ".join(f"{number:,} {name}" for name, number in counts.items())
    if gone:
        rebuild_database(target, memory)  # removed data stay in the file until then
    click.echo(f"{target}: {said}.")


def _readers(
    workers: int | None, scheduler: str, keys: Path | None
) -> AbstractContextManager[Share]:
    """Yield whoever reads the journals."""
    from callout.app.reports.collecting import alone
    from callout.store.workers import Elsewhere, several_workers

    if workers or scheduler:
        return several_workers(workers or 1, Elsewhere(scheduler, keys))
    return nullcontext(alone)


def _load_folder(folder: Path, collection: Collection, school: str, share: Share) -> int:
    """Load a folder; return how many of its journals are missing or were replaced."""
    from callout.app.reports.collecting import collect_folder
    from callout.cli._progress import counting_bar
    from callout.core.debrief.shown import shown_text
    from callout.core.model.counting import counted_noun
    from callout.core.sentences import collections

    with counting_bar(folder.name) as told:
        found = collect_folder(folder, collection, told, school, share)
    if found.read_here:
        count = counted_noun(found.read_here, "journal")
        click.echo(f"callout: {collections.read_here(count)}", err=True)
    for problem in found.problems:
        click.echo(f"callout: {shown_text(problem)}", err=True)
    parts = [
        f"{number:,} {name}"
        for name, number in (
            ("new", found.new),
            ("changed", found.replaced),
            ("unchanged", found.unchanged),
            ("gone", found.gone),
        )
        if number
    ]
    click.echo(f"{folder}: {', '.join(parts) or 'no journals'}.")
    return found.gone + found.replaced


def _write_parquet(collection: Collection, folder: Path) -> None:
    from callout.store.partitions import write_months

    written = sum(1 for _ in write_months(collection, folder))
    click.echo(report_answers.parquet_files_written(folder, written))
