"""``callout pack show``: what a pack states, and what it holds."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.debrief.shown import shown_text
from callout.core.model.counting import counted_noun
from callout.core.sentences import packs as say
from callout.core.sentences.commands import command_help as sentences


@click.command(epilog=SAFETY, short_help=sentences.COMMAND_PACK_SHOW)
@click.argument("pack", type=click.Path(path_type=Path, exists=True))
def command(pack: Path) -> None:
    """Check PACK, a file or a folder, and show what it states and what it holds."""
    from callout.app.packs.packing import differing_replies, open_pack

    opened = open_pack(pack)
    about = opened.pack.about
    lines = say.about_lines(about.title, about.version, about.author, about.source, about.licence)
    for line in lines:
        click.echo(shown_text(line, 78))
    for checklist in opened.lists.values():
        count = counted_noun(len(checklist.items), "item")
        click.echo(f"  {shown_text(checklist.title, 50):<52} {count:>10}")
    differing = differing_replies(opened)
    whole = len(opened.pairs)
    click.echo(say.pairs_differ(len(differing), whole) if differing else say.pairs_agree(whole))
