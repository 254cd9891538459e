"""``callout pack make``: one file of a folder of lists."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.sentences import packs as say


@click.command(epilog=SAFETY, short_help="Make one file of a folder of lists.")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--name", help="Short name, which becomes the folder's: harrow-fen-twin.")
@click.option("--title", help="Name to show.")
@click.option("--version", help="Version of the lists: 1.0, 2.3.1.")
@click.option("--source", help='What they were made from: "own flow", "club procedures of 2025".')
@click.option("--author", help="Who made them.")
@click.option("--licence", help="What others may do with them: CC0-1.0, CC-BY-4.0, private.")
def command(folder: Path, file: Path, **told: str | None) -> None:
    """Write the lists, overlays and flight data in FOLDER to FILE, such as my-lists.zip.

    What is not given here is taken from FOLDER/pack.toml. Replies are taken from
    FOLDER/pairs.jsonl; without it, each list's own right and wrong replies are packed.
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
