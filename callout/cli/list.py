"""``callout list``: find the lists below a folder."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.cli.main import SAFETY
from callout.core.checklist import Phase

if TYPE_CHECKING:
    from callout.app.found_files import FoundFile
    from callout.core.checklist import Checklist


@click.command("list", epilog=SAFETY)
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option(
    "--phase",
    type=click.Choice([phase.value for phase in Phase]),
    help="Only lists of this phase of flight.",
)
def command(folder: Path | None, phase: str | None) -> None:
    """List the checklists in and below FOLDER [default: checklists/, else here]."""
    from callout.app.found_files import read_any, yaml_files

    where = folder or (Path("checklists") if Path("checklists").is_dir() else Path())
    found = [read_any(path) for path in yaml_files(where)]
    lines = list(_lines(found, phase))
    click.echo("\n".join(lines) if lines else f"There are no lists in {where}.")
    click.echo(SAFETY)
    for file in found:
        if file.error is not None:
            click.echo(f"left out: {file.error.message}", err=True)


def _lines(found: list[FoundFile], phase: str | None) -> Iterator[str]:
    for folder, group in groupby(found, key=lambda file: file.path.parent):
        files = list(group)
        lines = list(_folder_lines(files, phase))
        if lines:
            yield f"{_aircraft(files) or folder}"
            yield from lines
            yield ""


def _folder_lines(files: list[FoundFile], phase: str | None) -> Iterator[str]:
    from callout.core.checklist import Checklist
    from callout.core.overlay import Overlay

    lists = [(c, f.path) for f in files if isinstance(c := f.content, Checklist)]
    lists = [(c, path) for c, path in lists if phase in (None, c.phase.value)]
    width = max((len(c.title) for c, _ in lists), default=0)
    place = _places({c.id: c for c, _ in lists})
    for checklist, path in sorted(lists, key=lambda pair: place[pair[0].id]):
        count = f"{len(checklist.items):3} items"
        yield f"  {checklist.title:{width}}  {checklist.phase.value:15} {count}  {path}"
    for file in files:
        if isinstance(file.content, Overlay) and phase is None:
            yield f"  Overlay on {file.content.base}: {file.content.title}  {file.path}"


def _places(lists: dict[str, Checklist]) -> dict[str, tuple[int, int, str]]:
    """Return where each list stands: by phase, then by what it follows, then by title."""

    def depth(checklist: Checklist, seen: frozenset[str]) -> int:
        before = [lists[i] for i in checklist.follows if i in lists and i not in seen]
        return max((1 + depth(b, seen | {b.id}) for b in before), default=0)

    return {c.id: (c.phase.order, depth(c, frozenset({c.id})), c.title) for c in lists.values()}


def _aircraft(files: list[FoundFile]) -> str:
    from callout.core.flight import Flight

    names = (f.content.aircraft for f in files if isinstance(f.content, Flight))
    return next(names, "")
