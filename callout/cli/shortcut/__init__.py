"""``callout shortcut``: a double click opens the lists."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.sentences import desktop as say
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import option_help as sentences


@click.command("shortcut", epilog=SAFETY, short_help=command_help.COMMAND_SHORTCUT)
@click.option("--into", type=click.Path(path_type=Path), help=sentences.SHORTCUT_INTO)
@click.option("--remove", is_flag=True, help=sentences.SHORTCUT_REMOVE)
@click.option("--replace", is_flag=True, help=sentences.SHORTCUT_REPLACE)
def command(into: Path | None, remove: bool, replace: bool) -> None:
    """Put a shortcut on the desktop that opens your lists in the browser.

    On Linux it is also in the application menu.
    """
    from callout.app.desktop.shortcuts import remove_shortcut, usual_shortcuts, write_shortcut

    for shortcut in usual_shortcuts(into):
        if remove:
            gone = remove_shortcut(shortcut)
            click.echo(say.removed(shortcut.path) if gone else say.no_shortcut(shortcut.path))
            continue
        made = write_shortcut(shortcut, replace)
        click.echo(say.shortcut_made(shortcut.path) if made else say.already_exists(shortcut.path))


__all__ = ["command"]
