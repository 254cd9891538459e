"""``callout pack make``: packs a folder of lists into one file."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.sentences import packs as say
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import list_options as sentences


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_PACK_MAKE)
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--name", help=sentences.PACK_MAKE_NAME)
@click.option("--title", help=sentences.PACK_MAKE_TITLE)
@click.option("--version", help=sentences.PACK_MAKE_VERSION)
@click.option("--source", help=sentences.PACK_MAKE_SOURCE)
@click.option("--author", help=sentences.PACK_MAKE_AUTHOR)
@click.option("--licence", help=sentences.PACK_MAKE_LICENCE)
def command(folder: Path, file: Path, **told: str | None) -> None:
    """Write the lists, overlays and flight data in FOLDER to FILE, such as my-lists.zip.

    What you leave out is taken from FOLDER/pack.toml. Replies are taken from FOLDER/pairs.jsonl;
    without it, each list's own right and wrong replies are packed.
    """
    from callout.app.packs.packing import differing_replies, pack_folder, write_pack
    from callout.cli.pack.telling import stop_if_differing

    opened = pack_folder(folder, {key: value for key, value in told.items() if value})
    stop_if_differing(differing_replies(opened), len(opened.pairs))
    write_pack(opened, file)
    about = opened.pack.about
    click.echo(
        say.pack_made(file, about.title, about.version, len(opened.lists), len(opened.pairs))
    )
