"""``callout pack add``: adds the lists of a pack to one's own."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.debrief.shown import shown_text
from callout.core.sentences import packs as say
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import list_options as sentences


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_PACK_ADD)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--into", type=click.Path(path_type=Path), help=sentences.PACK_ADD_INTO)
@click.option("--replace", is_flag=True, help=sentences.PACK_ADD_REPLACE)
def command(file: Path, into: Path | None, replace: bool) -> None:
    """Check FILE, try its replies, show what changes, and add its lists to yours."""
    from callout.app.packs.packing import (
        add_pack,
        differing_replies,
        open_pack,
        pack_differences,
    )
    from callout.app.shared.own_lists import own_lists_folder
    from callout.cli.pack.telling import stop_if_differing

    opened = open_pack(file)
    about = opened.pack.about
    stop_if_differing(differing_replies(opened), len(opened.pairs))
    folder = (into or own_lists_folder()) / about.name
    if folder.is_dir():
        changes = pack_differences(open_pack(folder), opened)
        if not changes:
            click.echo(say.same_pack(about.title, about.version))
            return
        for change in changes:
            click.echo(shown_text(change, 300))
    kept = add_pack(opened, folder, replace)
    click.echo(say.pack_added(about.title, about.version, folder))
    if kept is not None:
        click.echo(say.kept_old(kept))
