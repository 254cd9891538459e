"""Lists called for by name between sessions: begun, asked about, or begun wrongly."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import click
import numpy as np

from callout.app.shared.command_tables import default_commands
from callout.app.shared.found_files import read_any, yaml_files
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.bench.synth import synthesise
from callout.core.flight_run.called_alone import AskMeant, BeginList, take_call, to_listen_for
from callout.core.flight_run.calls import list_phrases, listened_phrases, words_key
from callout.core.model.checklist import Checklist
from callout.core.model.heard import Heard
from callout.core.sentences.commands import benches as sentences
from callout.hearing.cabin_noise import mix_noise
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.ports.hearing import Samples

VOICES = ("flite:slt", "flite:rms", "espeak:en-us", "espeak:en-gb+f3")
SNRS = (None, 10.0)
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
def command(only: str) -> None:
    """Say every list's name, other aircraft's names and talk, clean and in noise; count the
    results.
    """
    groups = {name: lists for name, lists in _groups() if only in name}
    recogniser = EmbeddedRecogniser()
    everything: Counter[str] = Counter()
    for name, lists in groups.items():
        others = [c for other, found in _groups() if other != name for c in found]
        for snr in SNRS:
            counts = _counted(recogniser, lists, others, snr)
            everything += counts
            click.echo(f"{name}, {'clean' if snr is None else f'{snr:g} dB'}: {_told(counts)}")
    click.echo(f"all: {_told(everything)}")


def _groups() -> Iterator[tuple[str, list[Checklist]]]:
    root = shipped_folder(CHECKLISTS)
    for folder in sorted({path.parent for path in yaml_files(root)}):
        found = [read_any(path).content for path in yaml_files(folder)]
        yield folder.name, [one for one in found if isinstance(one, Checklist)]


def _counted(
    recogniser: EmbeddedRecogniser,
    lists: list[Checklist],
    others: list[Checklist],
    snr: float | None,
) -> Counter[str]:
    table = default_commands()
    own = {words_key(phrase, table) for one in lists for phrase in list_phrases(one)}
    names = dict.fromkeys(listened_phrases(one)[0] for one in others)
    strange = [words for words in names if words_key(words, table) not in own]
    said = [(listened_phrases(one)[0], one.id) for one in lists]
    said += [(words, "") for words in (*strange, *TALK)]
    counts: Counter[str] = Counter()
    for seed, (words, wanted) in enumerate(said):
        for voice in VOICES:
            sound = synthesise(words, voice)
            sound = sound if snr is None else mix_noise(sound, snr, seed)
            counts[_outcome(_heard(recogniser, lists, sound), lists, wanted)] += 1
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
