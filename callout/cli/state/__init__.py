"""``callout state``: reads, records and simulates the state of an aircraft."""

from __future__ import annotations

import importlib
from typing import Any

import click

from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help as sentences

_COMMANDS = ("aircraft", "read", "record", "schema")


class _LazyGroup(click.Group):
    """Loads a subcommand only when it is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        command: Any = importlib.import_module(f"callout.cli.state.{cmd_name}").command
        assert isinstance(command, click.Command)
        return command


@click.group(cls=_LazyGroup, epilog=SAFETY, short_help=sentences.COMMAND_STATE)
def command() -> None:
    """Read, record or simulate the stream of states that replies are checked against.

    A bridge sends it; `callout run --bridge` listens for one. checklists/README.md shows one in
    ten lines of Python.
    """
