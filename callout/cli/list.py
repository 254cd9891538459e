"""``callout list``: find the lists below a folder."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.cli.main import SAFETY
from callout.core.model.checklist import Phase
from callout.core.sentences.commands import answers as sentences
from callout.core.sentences.commands import command_help, list_options
from callout.outlet import drawing_stream, harmless_text

if TYPE_CHECKING:
    from callout.app.shared.found_files import FoundFile


@click.command("list", epilog=SAFETY, short_help=command_help.COMMAND_LIST)
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option(
    "--phase",
    type=click.Choice([phase.value for phase in Phase]),
    help=list_options.LIST_PHASE,
)
def command(folder: Path | None, phase: str | None) -> None:
    """List the checklists in and below FOLDER.

    FOLDER may be the name of a shipped aircraft. Without FOLDER: those in checklists/, else those
    in this folder, else the shipped ones.
    """
    from callout.app.shared.found_files import read_any, yaml_files
    from callout.app.shared.naming import file_or_folder

    where = file_or_folder(folder) if folder else _default_folder()
    found = [read_any(path) for path in yaml_files(where)]
    lines = list(_list_lines(found, phase, _terminal_width()))
    if lines:
        drawing_stream(sys.stdout).write("".join(f"{line}\n" for line in lines))
    else:
        click.echo(sentences.no_lists(where))
    click.echo(SAFETY)
    for file in found:
        if file.error is not None:
            click.echo(f"skipped: {file.error.message}", err=True)


def _terminal_width() -> int | None:
    """Return the terminal's width in columns; None if the output goes elsewhere."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def _fitted_line(line: str, path: Path, width: int | None) -> str:
    """Return the line with the file's path, its name or nothing after it, whichever fits."""
    for place in (str(path), path.name):
        if width is None or len(line) + len(place) + 2 <= width:
            return f"{line}  {place}"
    return line if width is None else line[:width].rstrip()


def _default_folder() -> Path:
    from callout.app.shared.checklist_files import SUFFIXES
    from callout.app.shared.shipped import CHECKLISTS, shipped_folder

    if Path(CHECKLISTS).is_dir():
        return Path(CHECKLISTS)
    here = any(path.suffix.lower() in SUFFIXES for path in Path().iterdir())
    return Path() if here else shipped_folder(CHECKLISTS)


def _list_lines(found: list[FoundFile], phase: str | None, width: int | None) -> Iterator[str]:
    for folder, group in groupby(found, key=lambda file: file.path.parent):
        files = list(group)
        lines = list(_folder_lines(files, phase, width))
        if lines:
            heading = harmless_text(_folder_heading(files, folder, width))
            yield click.style(heading, bold=True) if sys.stdout.isatty() else heading
            yield from map(harmless_text, lines)
            yield ""


def _folder_lines(files: list[FoundFile], phase: str | None, width: int | None) -> Iterator[str]:
    from callout.core.formats.overlay import Overlay
    from callout.core.model.checklist import Checklist
    from callout.core.model.list_order import list_places

    lists = [(c, f.path) for f in files if isinstance(c := f.content, Checklist)]
    lists = [(c, path) for c, path in lists if phase in (None, c.phase.value)]
    longest = max((len(c.title) for c, _ in lists), default=0)
    place = list_places({c.id: c for c, _ in lists})
    for checklist, path in sorted(lists, key=lambda pair: place[pair[0].id]):
        count = f"{len(checklist.items):3} items"
        line = f"  {checklist.title:{longest}}  {checklist.phase.value:15} {count}"
        yield _fitted_line(line, path, width)
    for file in files:
        if isinstance(file.content, Overlay) and phase is None:
            line = f"  Overlay on {file.content.base}: {file.content.title}"
            yield _fitted_line(line, file.path, width)


def _folder_heading(files: list[FoundFile], folder: Path, width: int | None) -> str:
    name = _aircraft_name(files) or str(folder)
    if width is not None and len(name) > width:
        name = f"{folder.parent.name}/{folder.name}"
    return name[:width]


def _aircraft_name(files: list[FoundFile]) -> str:
    from callout.core.model.flight import Flight

    names = (f.content.aircraft for f in files if isinstance(f.content, Flight))
    return next(names, "")
