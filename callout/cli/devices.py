"""``callout devices``: microphones and speakers by name."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import click

from callout.core.sentences.commands import command_help as sentences
from callout.core.sentences.commands import option_help

if TYPE_CHECKING:
    from callout.portaudio import Device


@click.command("devices", short_help=sentences.COMMAND_DEVICES)
@click.option("--json", "as_json", is_flag=True, help=option_help.JSON)
def command(as_json: bool) -> None:
    """List microphones and speakers under the names that other commands take.

    A star marks the default. Part of a name is enough if only one device matches.
    """
    from callout import portaudio

    found = portaudio.list_devices(portaudio.load_library())
    inputs = [d for d in found if d.inputs]
    outputs = [d for d in found if d.outputs]
    if as_json:
        shown = {
            "microphones": _device_rows(inputs, False),
            "speakers": _device_rows(outputs, True),
        }
        click.echo(json.dumps(shown, indent=2, ensure_ascii=False))
        return
    click.echo(_device_section("Microphones", inputs, output=False))
    if not inputs:
        click.echo(f"  {portaudio.device_hint()}")
    click.echo(_device_section("Speakers", outputs, output=True))
    if not outputs:
        click.echo(f"  {portaudio.device_hint(output=True)}")


def _device_rows(devices: list[Device], output: bool) -> list[dict[str, object]]:
    return [
        {
            "name": d.name,
            "system": d.system,
            "channels": d.outputs if output else d.inputs,
            "rate": d.rate,
            "default": d.default_output if output else d.default_input,
        }
        for d in devices
    ]


def _device_section(title: str, devices: list[Device], *, output: bool) -> str:
    lines = [title]
    for row in _device_rows(devices, output):
        star = "*" if row["default"] else " "
        lines.append(f"{star} {row['name']}  ({row['system']}, {row['rate']} Hz)")
    return "\n".join(lines if devices else [title, "  none"])
