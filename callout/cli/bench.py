"""Measure the program: its subcommands are named in ``callout.bench``."""

from __future__ import annotations

import importlib

import click

import callout.bench
from callout.core.sentences.commands import command_help as sentences


class _LazyBench(click.Group):
    """Loads the module of a subcommand only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted(callout.bench.COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        module = callout.bench.COMMANDS.get(cmd_name)
        if module is None:
            return None
        command = importlib.import_module(f"callout.bench.{module}").command
        assert isinstance(command, click.Command)
        return command


@click.group("bench", cls=_LazyBench, hidden=True, short_help=sentences.COMMAND_BENCH)
def command() -> None:
    """Measure how well callout does, and print the counts behind every figure."""
