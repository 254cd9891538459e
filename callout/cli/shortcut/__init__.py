"""``callout shortcut``: a double click opens the lists."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.sentences import desktop as say


@click.command("shortcut", epilog=SAFETY, short_help="Put a shortcut on the desktop.")
@click.option("--into", type=click.Path(path_type=Path), help="Folder for it, not the desktop.")
@click.option("--remove", is_flag=True, help="Remove it again.")
@click.option("--replace", is_flag=True, help="Write it anew if it is there.")
def command(into: Path | None, remove: bool, replace: bool) -> None:
    """Put a shortcut on the desktop, which opens the page of your lists in the browser.

    On Linux it is in the menu of programs too.
    """
    from callout.app.desktop.shortcuts import remove_shortcut, usual_shortcuts, write_shortcut

    for shortcut in usual_shortcuts(into):
        if remove:
            gone = remove_shortcut(shortcut)
            click.echo(say.shortcut_gone(shortcut.path) if gone else say.no_shortcut(shortcut.path))
            continue
        made = write_shortcut(shortcut, replace)
        click.echo(say.shortcut_made(shortcut.path) if made else say.shortcut_there(shortcut.path))


__all__ = ["command"]
