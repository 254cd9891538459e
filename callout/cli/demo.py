"""``callout demo``: a whole session on recorded replies, no microphone needed."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from callout.app.listening.engines import ENGINES
from callout.cli._options import glance_options, glance_wish, recorded_state_option
from callout.cli._report_options import journal_dir_option
from callout.cli.main import SAFETY
from callout.core.sentences.commands import answers, command_help
from callout.core.sentences.commands import option_help as sentences

TITLE = answers.DEMO_INTRODUCTION
APART = answers.DEMO_JOURNAL_APART


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_DEMO)
@click.option("--fast", is_flag=True, help=sentences.DEMO_FAST)
@click.option("--silent", is_flag=True, help=sentences.DEMO_SILENT)
@click.option("--screen", is_flag=True, help=sentences.DEMO_SCREEN)
@click.option(
    "--engine",
    type=click.Choice(ENGINES),
    default="embedded",
    show_default=True,
    help=sentences.ENGINE,
)
@click.option(
    "--panel",
    is_flag=True,
    help=sentences.DEMO_PANEL,
)
@click.option(
    "--list",
    "which",
    metavar="NAME",
    default="sandling-two/before-start",
    show_default=True,
    help=sentences.DEMO_LIST,
)
@recorded_state_option
@journal_dir_option
@glance_options
def command(
    fast: bool,
    silent: bool,
    screen: bool,
    engine: str,
    panel: bool,
    which: str,
    state: Path | None,
    journal_dir: str | None,
    glance: bool,
    glance_network: bool,
    glance_port: int,
    glance_address: str,
) -> None:
    """Show a checklist run from its first challenge to its completion call.

    Recorded replies go through the same voice activity detection, recogniser, judge, session and
    journal as yours would. Some are wrong, unclear or meant for somebody else; watch what happens
    to them.
    """
    from callout.app.running.demo import load_demo, run_demo
    from callout.app.running.glancing import glance_page
    from callout.app.running.state_source import open_state_source
    from callout.app.running.wishes import StateWish, Wishes
    from callout.app.shared.settings import journal_folder, load_settings
    from callout.terminal.plain import fitted_lines, print_indented

    settings = load_settings()
    demo = load_demo()
    page = glance_wish(glance, glance_network, glance_port, glance_address)
    told = None if state is None else StateWish(state)
    wishes = Wishes(
        voice=not (fast or silent),
        plain=not screen,
        engine=engine,
        glance=page,
        state=told,
        keep_sound=False,
    )
    folder = journal_folder(journal_dir, settings)
    if panel and state is not None:
        raise click.UsageError("--panel has a live aircraft: leave out --state.")
    if panel:
        from callout.app.running.panel_demo import run_panel_demo

        own = Wishes(voice=False if silent else None, engine=engine, glance=page, keep_sound=False)
        run_panel_demo(which, folder, settings, own, safety=SAFETY, tell=print_indented)
        return
    for line in fitted_lines((demo.about, TITLE, APART), sys.stdout):
        click.echo(line)
    with glance_page(wishes, folder) as seen, open_state_source(seen, demo.declared) as shown:
        summary = run_demo(
            demo,
            folder,
            settings,
            shown,
            fast=fast,
            tell=(lambda line: None) if screen else print_indented,
            safety=SAFETY,
        )
    if summary.ending is None:
        click.echo(answers.DEMO_CUT_SHORT, err=True)
        sys.exit(1)
