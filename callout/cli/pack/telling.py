"""What the pack commands print in common."""

from __future__ import annotations

import sys

import click

from callout.core.debrief.shown import shown_text
from callout.core.sentences import packs as say

_MOST_SHOWN = 10


def stop_if_differing(differing: list[str], whole: int) -> None:
    """If replies are judged differently here, name them and exit with 2; otherwise say that all
    agree.
    """
    if not differing:
        click.echo(say.pairs_agree(whole))
        return
    for line in differing[:_MOST_SHOWN]:
        click.echo(shown_text(line, 300), err=True)
    click.echo(say.pairs_differ(len(differing), whole), err=True)
    click.echo(say.LISTS_DIFFER, err=True)
    sys.exit(2)
