"""``callout collect``: journals into one database, for reports and plain SQL."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from callout.store.collection import Collection
    from callout.store.workers import Share

_FOLDER = click.Path(path_type=Path)


@click.command("collect", short_help="Load journals into one database for reports and SQL.")
@click.argument("folders", nargs=-1, type=_FOLDER)
@click.option("--into", type=_FOLDER, help="Database file [default: your own, in the data folder].")
@click.option("--parquet", type=_FOLDER, help="Also write Parquet files, by school and month.")
@click.option("--anew", is_flag=True, help="Rebuild the database instead of updating it.")
@click.option("--school", default="", metavar="NAME", help="School of the people in FOLDERS.")
@click.option("--memory", default="1GB", show_default=True, help="Size limit of the database.")
@click.option("--workers", type=click.IntRange(1, 64), help="Read with so many processes.")
@click.option("--scheduler", default="", metavar="ADDRESS", help="Read with the workers there.")
@click.option("--keys", type=_FOLDER, metavar="FOLDER", help="Keys of that cluster.")
def command(
    folders: tuple[Path, ...], into: Path | None, parquet: Path | None, anew: bool, school: str,
    memory: str, workers: int | None, scheduler: str, keys: Path | None,
) -> None:  # fmt: skip
    """Load the journals of FOLDERS [default: your own] into one database.

    Only what is new or has changed is read. Journals that are gone take their rows with them;
    damaged ones are named and left alone. Only the database is written, and a list of databases, so
    that `callout forget` finds them. Nothing is sent anywhere.

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
        rebuild_database(target, memory)  # what was taken out stays in the bytes until then
    click.echo(f"{target}: {said}.")


def _readers(
    workers: int | None, scheduler: str, keys: Path | None
) -> AbstractContextManager[Share | None]:
    """Give those who read the journals; None: this process alone."""
    from callout.store.workers import Elsewhere, several_workers

    if workers or scheduler:
        return several_workers(workers or 1, Elsewhere(scheduler, keys))
    return nullcontext()


def _load_folder(folder: Path, collection: Collection, school: str, share: Share | None) -> int:
    """Load a folder; return how many journals are gone from it or were replaced."""
    from callout.app.reports.collecting import collect_folder
    from callout.cli._progress import counting_bar
    from callout.core.debrief.shown import shown_text

    with counting_bar(folder.name) as told:
        found = collect_folder(folder, collection, told, school, share)
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
    click.echo(f"{folder}: {written} Parquet files written.")
