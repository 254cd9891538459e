"""``callout mic``: try a microphone and the room, enrol a voice."""

from __future__ import annotations

import json
import shutil
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from callout.app.shared.safety import SAFETY
from callout.core.sentences.commands import answers, command_help
from callout.core.sentences.commands import option_help as sentences

if TYPE_CHECKING:
    from callout.app.listening.microphone_trial import TriedRoom
    from callout.hearing.voices import Voice


@click.command("mic", epilog=SAFETY, short_help=command_help.COMMAND_MIC)
@click.option("--microphone", metavar="NAME", default="", help=sentences.MIC_MICROPHONE)
@click.option(
    "--tool-voice",
    is_flag=True,
    help=sentences.MIC_TOOL_VOICE,
)
@click.option(
    "--save",
    is_flag=True,
    help=sentences.MIC_SAVE,
)
@click.option("--enrol", metavar="NAME", help=sentences.MIC_ENROL)
@click.option(
    "--takes",
    default=3,
    show_default=True,
    type=click.IntRange(1, 5),
    help=sentences.MIC_TAKES,
)
@click.option(
    "--keep-recordings",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help=sentences.MIC_KEEP_RECORDINGS,
)
@click.option("--voices", is_flag=True, help=sentences.MIC_VOICES)
@click.option("--forget", metavar="NAME", help=sentences.MIC_FORGET)
@click.option(
    "--replies",
    metavar="WAV",
    multiple=True,
    type=click.Path(path_type=Path),
    help=sentences.REPLIES,
)
@click.option("--plain", is_flag=True, help=sentences.MIC_PLAIN)
@click.option("--json", "as_json", is_flag=True, help=sentences.MIC_JSON)
def command(
    microphone: str,
    tool_voice: bool,
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
    """Watch the level and the noise, say five words, and learn whether this room will work.

    With --tool-voice stay silent: the tool speaks and measures how much of its own voice it can
    remove from what the microphone hears.

    With --enrol say common words three times, about two minutes in all. Sessions compare replies
    with that voice once your settings name it: --save does that; without it, the line to add is
    shown at the end. The features are kept in a file of yours that --forget deletes.

    Exit code 1: voice replies will not work here as things are.
    """
    if tool_voice:
        _try_tool_voice(_choose_microphone(microphone, plain or as_json), as_json)
        return
    _no_contradiction(enrol, keep_recordings, replies, save)
    if voices:
        _list_voices(as_json)
        return
    if forget is not None:
        _forget_voice(forget)
        return
    from callout.app.listening.microphone_trial import enrol_voice, try_microphone
    from callout.cli._meter import Meter

    name = microphone if replies else _choose_microphone(microphone, plain or as_json)
    meter = Meter(moving=not (plain or as_json) and sys.stdout.isatty(), aside=as_json)
    usable = True
    if enrol is not None:
        with meter.running():
            voice, path = enrol_voice(
                enrol, name, replies, takes, keep_recordings, meter.ask, meter.show, meter.tell
            )
        _tell_enrolled(voice, path, save, as_json)
    else:
        with meter.running():
            tried = try_microphone(name, replies, meter.tell, meter.show)
        _tell_result(tried, plain, as_json)
        usable = tried.usable
    if save:
        _save_choices("" if replies else name, voice.name if enrol is not None else "", as_json)
    if not usable:
        sys.exit(1)


def _try_tool_voice(microphone: str, as_json: bool) -> None:
    from callout.app.listening.tool_voice_check import try_tool_voice
    from callout.app.shared.settings import load_settings

    click.echo(answers.TOOL_VOICE_BEGINS, err=as_json)
    found = try_tool_voice(microphone, load_settings().voice.volume)
    shown = json.dumps(found.plain(), indent=2) if as_json else "\n".join(found.lines())
    click.echo(shown)
    if not found.usable:
        sys.exit(1)


def _save_choices(microphone: str, voice: str, aside: bool) -> None:
    from callout.app.shared.settings_file import save_setting

    for key, value in (("hearing.microphone", microphone), ("hearing.voice", voice)):
        if value:
            click.echo(answers.setting_kept(save_setting(key, value), key, value), err=aside)


def _no_contradiction(
    enrol: str | None, keep: Path | None, replies: tuple[Path, ...], save: bool
) -> None:
    from callout.errors import CalloutError

    if keep and enrol is None:
        raise CalloutError("--keep-recordings only applies to enrolling.", "Add: --enrol NAME")
    if save and replies and enrol is None:
        raise CalloutError(
            "--save saves a microphone, and --replies uses none.", answers.ONE_OR_THE_OTHER
        )


def _choose_microphone(named: str, quiet: bool) -> str:
    """Return the microphone's full name; asks if there are several and somebody can answer."""
    from callout import portaudio

    library = portaudio.load_library()
    found = [d for d in portaudio.list_devices(library) if d.inputs]
    names = list(dict.fromkeys(d.name for d in found))
    if named or len(names) < 2 or quiet or not sys.stdin.isatty():
        return portaudio.find_device(library, named or None).name
    usual = portaudio.find_device(library, None).name
    for number, name in enumerate(names, 1):
        click.echo(f"  {number}  {name}{'  (usual)' if name == usual else ''}")
    choice = click.prompt(
        "Which microphone", type=click.IntRange(1, len(names)), default=names.index(usual) + 1
    )
    return names[choice - 1]


def _tell_enrolled(voice: Voice, path: Path, saved: bool, as_json: bool) -> None:
    from callout.app.shared.settings import settings_path

    if as_json:
        row = _voice_row(voice) | {"file": str(path)}
        click.echo(json.dumps(row, indent=2, ensure_ascii=False))
        return
    click.echo(answers.voice_takes(voice.name, len(voice.takes), len(voice.words)))
    click.echo(f"Saved as features in {path}")
    click.echo(f'Delete it with: callout mic --forget "{voice.name}"')
    if not saved:
        click.echo("Not used yet. To use it, add this line under [hearing] in")
        click.echo(f"{settings_path()}:")
        click.echo(f'    voice = "{voice.name}"')


def _list_voices(as_json: bool) -> None:
    from callout.hearing.voices import enrolled_voices, voices_folder

    rows = [_voice_row(voice) for voice in enrolled_voices()]
    if as_json:
        about = {"folder": str(voices_folder()), "voices": rows}
        click.echo(json.dumps(about, indent=2, ensure_ascii=False))
        return
    for row in rows:
        click.echo(f"{row['name']}: {row['takes']} takes of {row['words']} words")
    if not rows:
        click.echo("No voice is enrolled. Enrol yours: callout mic --enrol NAME")


def _voice_row(voice: Voice) -> dict[str, Any]:
    return {"name": voice.name, "words": len(voice.words), "takes": len(voice.takes)}


def _forget_voice(name: str) -> None:
    from callout.app.privacy.crew_name import names_crew
    from callout.app.shared.settings import settings_path
    from callout.hearing.voices import forget_voice

    forget_voice(name)
    click.echo(answers.voice_deleted(name))
    if names_crew(settings_path(), name):
        click.echo(answers.settings_still_name(settings_path(), name))
        click.echo(answers.REMOVE_THE_LINE)


def _tell_result(tried: TriedRoom, plain: bool, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(tried.plain(), indent=2, ensure_ascii=False))
        return
    width = shutil.get_terminal_size((80, 24)).columns
    for line in tried.lines():
        indent = "    " if line.startswith(" ") else ""
        click.echo(line if plain else textwrap.fill(line, width - 1, subsequent_indent=indent))
