"""``callout page``: everything in a browser of this machine."""

from __future__ import annotations

from pathlib import Path

import click

from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import option_help as sentences


@click.command("page", epilog=SAFETY, short_help=command_help.COMMAND_PAGE)
@click.argument("folder", required=False, type=click.Path(path_type=Path, file_okay=False))
@click.option("--port", type=click.IntRange(0, 65535), help=sentences.PAGE_PORT)
@click.option("--browser/--no-browser", default=True, help=sentences.PAGE_BROWSER)
def command(folder: Path | None, port: int | None, browser: bool) -> None:
    """Choose lists, run, write and debrief them on a page in your browser.

    FOLDER: lists to show besides your own and the shipped ones. Only this machine can open the
    page. `callout` without a command opens it too.
    """
    from callout.app.page.opening import PORT, PageWish, run_page

    wish = PageWish(folder, PORT if port is None else port, browser)
    run_page(wish, click.echo)


__all__ = ["command"]
