"""Training examples of the phone reading: synthetic voices, and human takes in other simulated
voices.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from callout.app.shared.command_tables import default_commands
from callout.bench.corpora import CorpusKind, CorpusRecording, framed_recording
from callout.bench.fitting import neural_voices
from callout.bench.fitting.phone_training import Example
from callout.bench.fitting.training_texts import training_sentence
from callout.bench.synth import installed_voices, synthesise
from callout.hearing.another_take import another_take
from callout.hearing.denoise import reduce_noise
from callout.hearing.embedded.adapting import OtherWords
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.embedded.network import Network
from callout.hearing.embedded.phone_probe import Floats, frames_of
from callout.hearing.embedded.weights import Weights
from callout.hearing.framing import frame_samples
from callout.hearing.segmenter import BLOCK, Cut, Segmenter
from callout.ports.hearing import SAMPLE_RATE, Samples

SPEEDS = (0.85, 0.95, 1.0, 1.1, 1.2)
FLITE_SHARE = 0.65
SHORTEST = SAMPLE_RATE // 10
KEPT, MOST_FRAMES = 128, 56
"""Made examples kept for enrolments, and frames of the longest."""


@dataclass(frozen=True, slots=True)
class ExampleTake:
    """Frames of a human recording as another voice in another room would have given them."""

    speaker: str
    example: Example


class Encoder:
    """The network's encoder alone, as the recogniser uses it."""

    def __init__(self) -> None:
        self._network = Network(Weights.shipped())

    def frames(self, samples: Samples) -> Floats:
        """Return the encoder's frames of one utterance, 16 bits each to save memory."""
        encoded, _ = self._network.encode(frame_samples(reduce_noise(samples)))
        kept: Floats = frames_of(encoded.hidden).astype(np.float16)
        return kept


def synthetic_examples(encoder: Encoder, lexicon: Lexicon, count: int) -> Iterator[Example]:
    """Yield ``count`` examples from each synthetic voice, neural ones if installed."""
    from wordfreq import top_n_list

    chance = random.Random(1)
    common = tuple(w for w in top_n_list("en", 4000) if w.isalpha() and lexicon.word(w))
    commands = tuple(c for c in default_commands().phrases() if lexicon.phrase(c))
    for kind in ("plain", *neural_voices.installed_kinds()):
        for number in range(count):
            text = training_sentence(chance, commands, common)
            said = _said(kind, text, number, chance)
            pads = [np.zeros(chance.randint(800, 5000), np.int16) for _ in range(2)]
            whole = np.concatenate([pads[0], said, pads[1]])
            if whole.any():
                yield Example(encoder.frames(another_take(whole, chance)), text)


def other_words(made: Iterable[Example]) -> OtherWords:
    """Return short synthetic examples to ship: an enrolment must not forget them."""
    short = [e for e in made if e.words and MOST_FRAMES >= len(e.frames) > len(e.words)]
    chosen = random.Random(9).sample(short, min(KEPT, len(short)))
    return OtherWords(tuple(e.frames for e in chosen), tuple(e.words for e in chosen))


def other_takes(
    encoder: Encoder, recordings: Iterable[CorpusRecording], count: int
) -> Iterator[ExampleTake]:
    """Yield ``count`` other takes of each recording whose words are known, and of noise."""
    chance = random.Random(2)
    for recording in recordings:
        known = recording.said or recording.kind is CorpusKind.NOISE
        if not known or not recording.samples.any():
            continue
        for _ in range(count):
            cut = longest_utterance(another_take(framed_recording(recording, None), chance))
            if cut is not None and len(cut) >= SHORTEST:
                example = Example(encoder.frames(cut), recording.said)
                yield ExampleTake(recording.speaker, example)


def longest_utterance(samples: Samples) -> Samples | None:
    """Return the longest utterance the voice activity detector cuts out; None for no speech."""
    segmenter = Segmenter()
    cuts: list[list[Samples]] = []
    for at in range(0, len(samples) - BLOCK + 1, BLOCK):
        cut = segmenter.push(samples[at : at + BLOCK])
        if cut is Cut.STARTED:
            cuts.append([])
        if segmenter.speaking:
            cuts[-1].append(segmenter.fresh())
        if cut is Cut.ENDED:
            segmenter.reset()
    whole = [np.concatenate(c)[: 8 * SAMPLE_RATE] for c in cuts]
    return max(whole, key=len, default=None)


def _said(kind: str, text: str, number: int, chance: random.Random) -> Samples:
    speed = chance.choice(SPEEDS)
    if kind == neural_voices.JOE:
        return neural_voices.speak_text(text, kind, speed)
    if kind == neural_voices.MIX:
        return neural_voices.speak_text(text, f"{kind}{number}", speed)
    flite = chance.random() < FLITE_SHARE
    there = [v for v in installed_voices() if v.startswith("flite" if flite else "espeak")]
    return synthesise(text, chance.choice(there), speed=speed)
