"""``callout mic``: try a microphone and the room, enrol a voice."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.app.safety import SAFETY

if TYPE_CHECKING:
    from callout.app.trying import Tried


@click.command("mic", epilog=SAFETY, short_help="Try the microphone and the room; enrol a voice.")
@click.option("--microphone", metavar="NAME", default="", help="Which one; else you are asked.")
@click.option("--save", is_flag=True, help="Keep the microphone in your settings.")
@click.option("--enrol", metavar="NAME", help="Say common words, so that your own voice is known.")
@click.option("--takes", default=3, show_default=True, type=click.IntRange(1, 5), help="Of a word.")
@click.option(
    "--keep-recordings",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Keep the enrolled words as sound too; else only features are kept.",
)
@click.option("--voices", is_flag=True, help="List the enrolled voices.")
@click.option("--forget", metavar="NAME", help="Delete an enrolled voice.")
@click.option(
    "--replies",
    metavar="WAV",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Recording, or folder of them, in the place of the microphone; may repeat.",
)
@click.option("--plain", is_flag=True, help="One line an event, no moving meter.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object at the end.")
def command(
    microphone: str,
    save: bool,
    enrol: str | None,
    takes: int,
    keep_recordings: Path | None,
    voices: bool,
    forget: str | None,
    replies: tuple[Path, ...],
    plain: bool,
    as_json: bool,
) -> None:
    """See the level and the noise, say five words, and be told whether this room will work.

    With --enrol say common words three times, about two minutes in all. Replies are compared with
    that voice once the settings choose it; the line to put there is shown at the end. What is kept
    are features, in a file of yours that --forget deletes.
    """
    if voices:
        _list(as_json)
        return
    if forget is not None:
        _forget(forget)
        return
    from callout.app.trying import try_microphone
    from callout.cli._meter import Meter

    name = microphone if replies else _choose(microphone, plain or as_json)
    meter = Meter(moving=not (plain or as_json) and sys.stdout.isatty(), silent=as_json)
    if enrol is not None:
        _enrol(enrol, name, replies, takes, keep_recordings, meter)
    else:
        tried = try_microphone(name, replies, meter.tell, meter.show)
        meter.end()
        click.echo(_as_json(tried) if as_json else "\n".join(tried.lines()))
    if save and name:
        from callout.app.settings_file import save_text

        click.echo(f"Kept in {save_text('hearing.microphone', name)}.", err=as_json)


def _choose(named: str, quiet: bool) -> str:
    """Return the microphone's full name; asks where several are there and somebody can answer."""
    from callout import portaudio

    library = portaudio.load()
    found = [d for d in portaudio.devices(library) if d.inputs]
    names = list(dict.fromkeys(d.name for d in found))
    if named or len(names) < 2 or quiet or not sys.stdin.isatty():
        return portaudio.find(library, named or None).name
    usual = portaudio.find(library, None).name
    for number, name in enumerate(names, 1):
        click.echo(f"  {number}  {name}{'  (usual)' if name == usual else ''}")
    choice = click.prompt(
        "Which microphone", type=click.IntRange(1, len(names)), default=names.index(usual) + 1
    )
    return names[choice - 1]


def _enrol(
    enrol: str,
    name: str,
    replies: tuple[Path, ...],
    takes: int,
    keep: Path | None,
    meter: object,
) -> None:
    from callout.app.settings import settings_path
    from callout.app.trying import enrol_voice
    from callout.cli._meter import Meter

    assert isinstance(meter, Meter)
    voice, path = enrol_voice(enrol, name, replies, takes, keep, meter.ask, meter.show)
    meter.end()
    click.echo(f"{voice.name}: {len(voice.takes)} takes of {len(voice.words)} words are known now.")
    click.echo(f'Kept as features in {path}. Delete it with: callout mic --forget "{voice.name}"')
    click.echo(f"Not used yet. To use it, put this line under [hearing] in {settings_path()}:")
    click.echo(f'voice = "{voice.name}"')


def _list(as_json: bool) -> None:
    from callout.hearing.voices import enrolled, voices_folder

    rows = [{"name": v.name, "words": len(v.words), "takes": len(v.takes)} for v in enrolled()]
    if as_json:
        click.echo(json.dumps({"folder": str(voices_folder()), "voices": rows}, indent=2))
        return
    for row in rows:
        click.echo(f"{row['name']}: {row['takes']} takes of {row['words']} words")
    if not rows:
        click.echo("No voice is enrolled. Enrol yours: callout mic --enrol NAME")


def _forget(name: str) -> None:
    from callout.hearing.voices import forget_voice

    forget_voice(name)
    click.echo(f"{name} is forgotten.")


def _as_json(tried: Tried) -> str:
    return json.dumps(tried.plain(), indent=2, ensure_ascii=False)
