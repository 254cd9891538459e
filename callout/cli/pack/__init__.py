"""``callout pack``: lists that travel together, with their author and their expected verdicts."""

from __future__ import annotations

import importlib
from typing import Any

import click

from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help as sentences

_COMMANDS = ("add", "compare", "make", "show")


class _LazyGroup(click.Group):
    """Loads a subcommand only when it is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        command: Any = importlib.import_module(f"callout.cli.pack.{cmd_name}").command
        assert isinstance(command, click.Command)
        return command


@click.group(cls=_LazyGroup, epilog=SAFETY, short_help=sentences.COMMAND_PACK)
def command() -> None:
    """Pack a folder of lists into one file, look into a pack, compare two, or add one to yours.

    A pack states its version, source, author and licence. It also holds replies with the verdicts
    they must get; callout tries these before it adds anything.
    """
