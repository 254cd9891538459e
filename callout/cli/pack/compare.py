"""``callout pack compare``: how two packs differ."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.debrief.shown import shown_text
from callout.core.sentences import packs as say
from callout.core.sentences.commands import command_help as sentences


@click.command(epilog=SAFETY, short_help=sentences.COMMAND_PACK_COMPARE)
@click.argument("old", type=click.Path(path_type=Path, exists=True))
@click.argument("new", type=click.Path(path_type=Path, exists=True))
def command(old: Path, new: Path) -> None:
    """Show how NEW differs from OLD, item by item; each is a file or a folder."""
    from callout.app.packs.packing import open_pack, pack_differences

    changes = pack_differences(open_pack(old), open_pack(new))
    for change in changes or [say.no_difference()]:
        click.echo(shown_text(change, 300))
