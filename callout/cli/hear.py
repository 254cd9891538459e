"""Shows what a session would have decided about a recording."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from callout.app.listening.engines import ENGINES
from callout.app.listening.recordings import RecordingDecided
from callout.core.sentences.commands import command_help, list_options
from callout.core.sentences.commands import option_help as sentences


@click.command("hear", short_help=command_help.COMMAND_HEAR)
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--expect", multiple=True, required=True, help=sentences.EXPECT)
@click.option("--against", multiple=True, help=sentences.HEAR_AGAINST)
@click.option("--enrolled", "voice", multiple=True, metavar="NAME", help=sentences.HEAR_ENROLLED)
@click.option(
    "--engine",
    type=click.Choice(ENGINES),
    default="auto",
    show_default=True,
    help=sentences.ENGINE,
)
@click.option("--json", "as_json", is_flag=True, help=list_options.JSON)
def command(
    files: tuple[Path, ...],
    expect: tuple[str, ...],
    against: tuple[str, ...],
    voice: tuple[str, ...],
    engine: str,
    as_json: bool,
) -> None:
    """Take FILES (WAV) through voice activity detection, recogniser and judge, as a session would.

    Use it to find out why you were not understood.

    \b
    callout hear reply.wav --expect on --against "off|auto"
    """
    from callout.app.listening.recordings import decide_all, expected_reply
    from callout.hearing.voices import load_voice

    unreadable = False
    voices = [load_voice(name) for name in dict.fromkeys(voice)]
    for decided in decide_all(files, expected_reply(expect, against), engine, voices):
        click.echo(
            json.dumps(decided.line(), ensure_ascii=False) if as_json else _plain_line(decided)
        )
        if decided.error:
            unreadable = True
            click.echo(f"callout: {decided.error.message}\n  {decided.error.hint}", err=True)
    if unreadable:
        sys.exit(2)


def _plain_line(decided: RecordingDecided) -> str:
    line = decided.line()
    words = f'heard "{line["transcript"]}"' if line["transcript"] else "heard no words"
    guess = f', likeliest "{line["guess"]}" at {line["confidence"]:.0%}' if line["guess"] else ""
    return f"{line['file']}: {line['verdict']}: {line['reason']}\n  {words}{guess}, {line['ms']} ms"
