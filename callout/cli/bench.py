"""Measure the program: modules of ``callout.bench`` are the subcommands."""

from __future__ import annotations

import importlib
import pkgutil

import click

import callout.bench


class _LazyBench(click.Group):
    """Loads ``callout.bench.NAME`` only when NAME is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        there = {m.name for m in pkgutil.iter_modules(callout.bench.__path__)}
        return sorted(there & set(callout.bench.COMMANDS))

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        command = importlib.import_module(f"callout.bench.{cmd_name}").command
        assert isinstance(command, click.Command)
        return command


@click.group(
    "bench", cls=_LazyBench, hidden=True, short_help="Measure how well it judges and hears."
)
def command() -> None:
    """Measure how well the program does, and print the counts behind every figure."""
