"""The ``callout`` command: each module of this package is one subcommand."""

from __future__ import annotations

import importlib
import importlib.util
import pkgutil
import sys
import threading
from typing import Any

import click

import callout.cli
from callout import __version__
from callout.app.shared.quick_start import begin_quick_start, end_quick_start
from callout.app.shared.safety import SAFETY as SAFETY
from callout.core.sentences import page as sentences
from callout.core.sentences.commands import answers, option_help
from callout.outlet import guarded_streams

_SLOW_TO_OPEN = ("demo", "drill", "fly", "resume", "run")


def _say_that_it_begins() -> None:
    if sys.stderr.isatty():
        click.echo(answers.GETTING_READY, err=True)


def _load_voice_early() -> None:
    """Load the voice beside everything else, so that the first challenge is heard at once."""

    def load() -> None:
        from callout.speaking.early import load_voice

        load_voice()

    if sys.stdin.isatty():
        threading.Thread(target=load, name="early voice", daemon=True).start()


class _LazyGroup(click.Group):
    """Loads ``callout.cli.NAME`` only when NAME is used, so that start-up stays short."""

    def invoke(self, ctx: click.Context) -> Any:
        with guarded_streams():
            try:
                return super().invoke(ctx)
            finally:
                end_quick_start()

    def list_commands(self, ctx: click.Context) -> list[str]:
        names = (m.name for m in pkgutil.iter_modules(callout.cli.__path__))
        return sorted(n for n in names if n != "main" and not n.startswith("_"))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find a command; for a misspelt one, say what was probably meant."""
        names = self.list_commands(ctx)
        if args and args[0] not in names and not args[0].startswith("-"):
            from callout.core.model.shapes import did_you_mean

            hint = did_you_mean(args[0], names) or "`callout --help` lists them."
            raise click.UsageError(f'There is no command "{args[0]}". {hint}', ctx)
        if args and args[0] in _SLOW_TO_OPEN and not {"-h", "--help"} & set(args):
            _say_that_it_begins()
            _load_voice_early()
            begin_quick_start()
        return super().resolve_command(ctx, args)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        command = importlib.import_module(f"callout.cli.{cmd_name}").command
        assert isinstance(command, click.Command)
        return command


_HELP = {"help_option_names": ["-h", "--help"]}
_STARTS = (
    ("See it work: a demonstration that needs no microphone", "demo", "", ""),
    ("Check this machine and show what is missing", "doctor", "", ""),
    ("Test the microphone and the room", "mic", "", ""),
    ("Run one checklist", "run", "Which list, by name or file", "before-start"),
    ("Run the lists of a whole flight", "fly", "Which aircraft, by name or folder", "sandling-two"),
    ("Continue an interrupted session", "resume", "", ""),
    ("Practise what you get wrong", "drill", "", ""),
    ("Debrief the last session", "debrief", "", ""),
)
"""The entries of the start menu: words, command, question for its argument, default answer."""


@click.group(cls=_LazyGroup, epilog=SAFETY, context_settings=_HELP, invoke_without_command=True)
@click.version_option(__version__, prog_name="callout")
@click.option("--terminal", is_flag=True, help=option_help.APP_TERMINAL)
@click.option("--debug", is_flag=True, help=option_help.APP_DEBUG)
@click.pass_context
def app(ctx: click.Context, terminal: bool, debug: bool) -> None:
    """A second crew member that reads your checklist aloud and listens to your replies."""
    ctx.obj = {"debug": debug}
    if ctx.invoked_subcommand is not None:
        return
    if not _at_terminal():
        click.echo(ctx.get_help())
        return
    if terminal or not _open_page():
        _offer_start(ctx)


def _open_page() -> bool:
    """Open the page for everything; False if it cannot be shown or served here."""
    from callout.app.page.opening import PageWish, has_browser, run_page

    if not has_browser():
        return False
    if importlib.util.find_spec("aiohttp") is None:
        click.echo(sentences.PAGE_NEEDS_PACKAGE)
        return False
    click.echo(click.wrap_text(SAFETY))
    click.echo(sentences.IN_THE_TERMINAL)
    run_page(PageWish(), click.echo)
    return True


def _at_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _offer_start(ctx: click.Context) -> None:
    """Ask a person who gave no command what to do, and do it."""
    click.echo(click.wrap_text(SAFETY))
    click.echo(answers.START_MENU)
    for number, (words, name, _, _) in enumerate(_STARTS, start=1):
        click.echo(f"  {number}  {words:<56}callout {name}")
    click.echo("\n`callout --help` lists every command.")
    most = len(_STARTS)
    chosen = click.prompt("Number (0 to leave)", type=click.IntRange(0, most), default=1)
    if chosen == 0:
        return
    _, name, question, usual = _STARTS[chosen - 1]
    given = [click.prompt(question, default=usual)] if question else []
    command = app.get_command(ctx, name)
    assert command is not None
    with command.make_context(name, given, parent=ctx) as inner:
        command.invoke(inner)


def main() -> None:
    """Run the command line; every way to end is an exit code and plain words."""
    from callout.cli._ending import run_to_the_end

    run_to_the_end(app)
