"""Training material of the acoustic model: synthetic voices, human recordings, joined human
digits.
"""

from __future__ import annotations

import os
import random
from collections import defaultdict
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np

from callout.app.shared.command_tables import default_commands
from callout.bench.acoustic.trimming import trimmed
from callout.bench.corpora import DIGITS, CorpusKind, CorpusRecording
from callout.bench.fitting import neural_voices
from callout.bench.fitting.training_texts import training_sentence
from callout.bench.synth import installed_voices, speak_uncached
from callout.hearing.embedded.lexicon import Lexicon
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate
from callout.speaking.embedded.rendering import USUAL_WPM, Renderer, Timbre
from callout.speaking.embedded.waveform import RATE

SPEEDS = (0.8, 0.9, 1.0, 1.1, 1.25)
TURNED = "turned"
"""The package's own voice, each time with another pitch and vocal tract."""
STRINGS = 250
"""Digit strings joined from each speaker's single ones."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """One utterance to train on."""

    samples: Samples
    words: str
    """Lower case; empty for sound without speech."""
    group: str
    speaker: str


def texts(lexicon: Lexicon, count: int, seed: int = 1) -> list[str]:
    """Return what the synthetic voices say: replies, numbers, commands, other words, rare words."""
    from wordfreq import top_n_list

    chance = random.Random(seed)
    common = tuple(w for w in top_n_list("en", 4000) if w.isalpha() and lexicon.word(w))
    commands = tuple(c for c in default_commands().phrases() if lexicon.phrase(c))
    return [training_sentence(chance, commands, common) for _ in range(count)]


def made(said: Iterable[str], workers: int | None = None) -> Iterator[Spoken]:
    """Yield each text in one voice of each installed kind; the same each time."""
    jobs = [(n, kind, text) for n, text in enumerate(said) for kind in kinds()]
    with ProcessPoolExecutor(workers or os.cpu_count()) as pool:
        for one in pool.map(_one, jobs, chunksize=50):
            if one is not None:
                yield one


def kinds() -> tuple[str, ...]:
    """Return the kinds of synthetic voices installed here."""
    plain = {v.split(":")[0] for v in installed_voices()}
    return (*sorted(plain), *neural_voices.installed_kinds(), TURNED)


def _one(job: tuple[int, str, str]) -> Spoken | None:
    number, kind, text = job
    chance = random.Random(f"{number} {kind}")
    speed = chance.choice(SPEEDS)
    if kind == TURNED:
        name, samples = f"{kind}:{number}", _turned(text, speed, chance)
    elif kind in neural_voices.installed_kinds():
        name = f"{kind}{number}" if kind == neural_voices.MIX else kind
        samples = neural_voices.speak_text(text, name, speed)
    else:
        name = chance.choice(_voices(kind))
        samples = speak_uncached(text, name, speed)
    return Spoken(trimmed(samples), text, "made", name) if samples.any() else None


def _turned(text: str, speed: float, chance: random.Random) -> Samples:
    """Return the text in the package's voice, changed into another speaker's."""
    timbre = Timbre(chance.uniform(0.5, 1.35), chance.uniform(0.84, 1.18))
    parts = list(_renderer().sentences(text, speed * USUAL_WPM, timbre))
    sound = convert_rate(np.concatenate(parts), RATE, SAMPLE_RATE) if parts else np.zeros(1)
    return np.asarray(sound * 32_767, np.int16)


@cache
def _renderer() -> Renderer:
    return Renderer.shipped()


@cache
def _voices(kind: str) -> tuple[str, ...]:
    return tuple(v for v in installed_voices() if v.startswith(f"{kind}:"))


def human(recordings: Iterable[CorpusRecording]) -> Iterator[Spoken]:
    """Yield the human recordings with known words, and sound without speech."""
    for one in recordings:
        if (one.said or one.kind is CorpusKind.NOISE) and one.samples.any():
            group = "digits" if one.among == DIGITS else "words"
            yield Spoken(one.samples, one.said, group if one.said else "noise", one.speaker)


def rows_of_digits(singles: Iterable[Spoken], seed: int = 4) -> Iterator[Spoken]:
    """Yield strings of two to five digits from one speaker each, with a reader's pauses."""
    by_speaker: dict[str, list[Spoken]] = defaultdict(list)
    for one in singles:
        by_speaker[one.speaker].append(one)
    for speaker, takes in sorted(by_speaker.items()):
        chance = random.Random(f"{seed} {speaker}")
        for _ in range(STRINGS if len(takes) > 20 else 0):
            yield joined([chance.choice(takes) for _ in range(chance.randint(2, 5))], chance)


def joined(takes: list[Spoken], chance: random.Random) -> Spoken:
    """Return takes of one speaker joined together."""
    sounds = [_levelled(trimmed(take.samples)) for take in takes]
    whole = [sounds[0]]
    for _, after in pairwise(sounds):
        pause = np.zeros(int(chance.uniform(0.0, 0.22) * SAMPLE_RATE), np.int16)
        whole += [pause, after]
    return Spoken(np.concatenate(whole), " ".join(t.words for t in takes), "rows", takes[0].speaker)


def _levelled(samples: Samples) -> Samples:
    peak = max(int(np.abs(samples.astype(np.int32)).max()), 1)
    levelled: Samples = (samples.astype(np.float64) * (16_384 / peak)).astype(np.int16)
    return levelled
