"""Every measurement is a command, wherever its module lies."""

from __future__ import annotations

from pathlib import Path

import click
import pytest

import callout.bench
from callout.cli.bench import command

FOLDER = Path(callout.bench.__file__).parent
MODULES = {
    ".".join(file.relative_to(FOLDER).with_suffix("").parts)
    for file in FOLDER.rglob("*.py")
    if "\ndef command(" in file.read_text("utf-8")
}


def test_each_module_with_a_command_is_named() -> None:
    assert set(callout.bench.COMMANDS.values()) == MODULES


@pytest.mark.parametrize("name", callout.bench.COMMANDS)
def test_each_named_command_loads_under_its_name(name: str) -> None:
    context = click.Context(command)
    assert isinstance(command, click.Group)
    found = command.get_command(context, name)
    assert found is not None
    assert found.name == name


def test_another_name_is_no_command() -> None:
    assert isinstance(command, click.Group)
    assert command.get_command(click.Context(command), "nothing-like-it") is None
