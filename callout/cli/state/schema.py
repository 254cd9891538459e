"""``callout state schema``: the shape of one line of a stream."""

from __future__ import annotations

import json

import click

from callout.core.sentences.commands import command_help as sentences
from callout.core.state.messages import wire_schema


@click.command(short_help=sentences.COMMAND_STATE_SCHEMA)
def command() -> None:
    """Print the JSON Schema (2020-12) of one line of a state stream."""
    click.echo(json.dumps(wire_schema(), indent=2))
