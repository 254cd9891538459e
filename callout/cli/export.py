"""``callout export``: lists as Markdown, CSV or printable cards."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.printing.card import Size
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import list_options as sentences
from callout.outlet import save_text

_FILE = click.Path(path_type=Path)


@click.command("export", epilog=SAFETY, short_help=command_help.COMMAND_EXPORT)
@click.argument("paths", nargs=-1, required=True, type=_FILE)
@click.option("--to", "target", type=_FILE, help=sentences.EXPORT_TO)
@click.option(
    "--format",
    "wanted",
    type=click.Choice(["md", "csv", "html", "pdf"]),
    help=sentences.EXPORT_FORMAT,
)
@click.option(
    "--size",
    type=click.Choice([size.value for size in Size]),
    default=Size.A5.value,
    show_default=True,
    help=sentences.EXPORT_SIZE,
)
@click.option("--fold", is_flag=True, help=sentences.EXPORT_FOLD)
@click.option(
    "--overlay",
    "overlays",
    multiple=True,
    metavar="FILE",
    type=_FILE,
    help=sentences.EXPORT_OVERLAY,
)
@click.option("--flight", "flight_file", metavar="FILE", type=_FILE, help=sentences.EXPORT_FLIGHT)
def command(
    paths: tuple[Path, ...],
    target: Path | None,
    wanted: str | None,
    size: str,
    fold: bool,
    overlays: tuple[Path, ...],
    flight_file: Path | None,
) -> None:
    """Export the lists in PATHS, files or folders, with their values filled in.

    Without --to, Markdown or CSV is printed. Cards follow published guidance on type: small
    letters at least 0.10 inch high in a face without look-alikes, black on white.

    \b
    callout export checklists/tarnbeck-one --to cards.pdf --size knee-board --fold
    """
    from callout.app.list_files.exporting import (
        Format,
        format_of,
        shown_lists,
        text_of,
        write_cards,
    )
    from callout.app.shared.naming import file_or_folder

    form = format_of(target, wanted)
    shown = shown_lists(tuple(map(file_or_folder, paths)), overlays, flight_file)
    if form in (Format.HTML, Format.PDF):
        where = target or Path(f"cards.{form.value}")
        click.echo(write_cards(shown, form, Size(size), fold, SAFETY, where))
        return
    text = text_of(shown, form, SAFETY)
    if target is None:
        click.echo(text, nl=False)
    else:
        save_text(target, text)
        click.echo(f"{target}: {len(shown)} {'list' if len(shown) == 1 else 'lists'}.")
