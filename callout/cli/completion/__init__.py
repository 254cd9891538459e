"""``callout completion``: the tab key completes commands, options and files."""

from __future__ import annotations

import click

from callout.cli.main import SAFETY, app
from callout.core.sentences import desktop as say
from callout.core.sentences.commands import command_help as sentences
from callout.core.sentences.commands import option_help


@click.command("completion", epilog=SAFETY, short_help=sentences.COMMAND_COMPLETION)
@click.argument("shell", required=False)
@click.option("--print", "show", is_flag=True, help=option_help.COMPLETION_PRINT)
def command(shell: str | None, show: bool) -> None:
    """Write a script that lets SHELL complete commands: bash, zsh or fish [default: yours].

    zsh looks in its fpath: add ~/.local/share/zsh/site-functions to it.
    """
    from callout.app.desktop.completing import completion_place, completion_text, own_shell
    from callout.outlet import save_text

    chosen = shell or own_shell()
    text = completion_text(chosen, app)
    if show:
        click.echo(text)
        return
    path = completion_place(chosen)
    save_text(path, text, as_it_is=True, folders=True)
    click.echo(say.completion_written(path))


__all__ = ["command"]
