"""Lists called for by name between sessions: begun, asked about, or begun wrongly."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import click
import numpy as np

from callout.app.shared.command_tables import default_commands
from callout.app.shared.found_files import read_any, yaml_files
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.bench.acoustic.conditions import Condition, conditions
from callout.bench.synth import synthesise
from callout.core.flight_run.called_alone import AskMeant, BeginList, take_call, to_listen_for
from callout.core.flight_run.calls import list_phrases, listened_phrases, words_key
from callout.core.model.checklist import Checklist
from callout.core.model.heard import Heard
from callout.core.sentences.commands import benches as sentences
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.ports.hearing import Samples

VOICES = ("flite:slt", "flite:rms", "espeak:en-us", "espeak:en-gb+f3")
SOUNDS = ("clean", "vehicle 10 dB", "crowd 10 dB")
TALK = (
    "we will do the checklist later",
    "did you bring the checklist",
    "before we start I want some coffee",
    "taxi to the holding point",
    "line up and wait",
    "the after landing was a bit rough",
    "ready when you are",
    "I think that was the wrong list",
    "start the clock",
    "what is the next one",
)
"""Sentences of a flight deck that call for no list; invented here."""


@click.command("calls", short_help=sentences.BENCH_CALLS)
@click.option("--only", default="", help=sentences.CALLS_ONLY)
@click.option("--every", type=click.IntRange(min=1), default=1, help=sentences.CALLS_EVERY)
def command(only: str, every: int) -> None:
    """Say every list's name, other aircraft's names and talk, clean and in noise; count the
    results.
    """
    groups = {name: lists for name, lists in _groups() if only in name}
    recogniser = EmbeddedRecogniser()
    crowd = [synthesise(words, voice) for words in TALK for voice in VOICES]
    sounds = [one for one in conditions(crowd) if one.name in SOUNDS]
    everything: Counter[str] = Counter()
    for name, lists in groups.items():
        others = [c for other, found in _groups() if other != name for c in found]
        said = _said(lists, others)[::every]
        for sound in sounds:
            counts = _counted(recogniser, lists, said, sound)
            everything += counts
            click.echo(f"{name}, {sound.name}: {_told(counts)}")
    click.echo(f"all: {_told(everything)}")


def _groups() -> Iterator[tuple[str, list[Checklist]]]:
    root = shipped_folder(CHECKLISTS)
    for folder in sorted({path.parent for path in yaml_files(root)}):
        found = [read_any(path).content for path in yaml_files(folder)]
        yield folder.name, [one for one in found if isinstance(one, Checklist)]


def _said(lists: Sequence[Checklist], others: Sequence[Checklist]) -> list[tuple[str, str]]:
    """Return (words, id of the list that they call, or nothing), names of lists first."""
    table = default_commands()
    own = {words_key(phrase, table) for one in lists for phrase in list_phrases(one)}
    names = dict.fromkeys(listened_phrases(one)[0] for one in others)
    strange = [words for words in names if words_key(words, table) not in own]
    said = [(listened_phrases(one)[0], one.id) for one in lists]
    return [*said, *((words, "") for words in (*strange, *TALK))]


def _counted(
    recogniser: EmbeddedRecogniser,
    lists: list[Checklist],
    said: Sequence[tuple[str, str]],
    sound: Condition,
) -> Counter[str]:
    counts: Counter[str] = Counter()
    for seed, (words, wanted) in enumerate(said):
        for voice in VOICES:
            heard = _heard(recogniser, lists, sound.make(synthesise(words, voice), seed))
            counts[_outcome(heard, lists, wanted)] += 1
    return counts


def _heard(recogniser: EmbeddedRecogniser, lists: list[Checklist], sound: Samples) -> Heard:
    recogniser.listen_for(to_listen_for(lists, default_commands(), default_tables()))
    recogniser.accept(np.pad(sound, 3_200))
    heard = recogniser.decide()
    recogniser.reset()
    return heard


def _outcome(heard: Heard, lists: list[Checklist], wanted: str) -> str:
    whose = "called" if wanted else "not called"
    match take_call(heard, lists, default_commands()):
        case BeginList(list_id, _):
            return f"{whose}: {'begun' if list_id == wanted else 'BEGUN WRONGLY'}"
        case AskMeant(list_id, _):
            return f"{whose}: asked {'about it' if list_id == wanted else 'about another'}"
        case None:
            return f"{whose}: nothing"
        case _:
            return f"{whose}: told that there is none"


def _told(counts: Counter[str]) -> str:
    return "; ".join(f"{what} {count}" for what, count in sorted(counts.items()))
