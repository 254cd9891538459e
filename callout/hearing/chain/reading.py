"""How well each phrase fits the sound, according to the chain model."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from callout.hearing.chain.network import ChainNetwork, shipped
from callout.hearing.chain.phone_graph import FreePhones, PhoneGraph, pronounced
from callout.hearing.embedded.lexicon import Lexicon
from callout.ports.hearing import Samples

FAINT_PEAK = 4000
"""A sound that never peaks above this is raised to it: the model hears faint speech badly."""
_NO_LETTERS = str.maketrans({"-": " ", ".": " ", ",": " ", "/": " "})


@dataclass(frozen=True, slots=True)
class ChainReading:
    """The model's reading of one utterance; natural logarithms, comparable with each other only."""

    phrases: Mapping[str, float]
    """Score of the best way to say each phrase; none for one with a word nobody can pronounce."""
    free: float
    """Score of the best phones of all."""
    outputs: int
    """Number of outputs, of 30 ms each."""


class ChainReader:
    """The model with its weights; made once, and used by one thread at a time."""

    def __init__(self, network: ChainNetwork, context: NDArray[np.int16], lexicon: Lexicon) -> None:
        self._network, self._context, self._lexicon = network, context, lexicon
        self._free = FreePhones.of(context)

    @classmethod
    def shipped(cls) -> ChainReader:
        """Return the one in the package."""
        arrays = shipped()
        return cls(ChainNetwork.of(arrays), arrays["context"], Lexicon.shipped())

    def read(self, samples: Samples, forms: Mapping[str, Sequence[str]]) -> ChainReading:
        """Score one utterance, 16-bit mono at 16 kHz, against phrases with their spoken forms."""
        outputs = self._network.read(audible(samples))
        if not len(outputs):
            return ChainReading({}, 0.0, 0)
        graph, told = PhoneGraph(self._context), list[str]()
        for text, spoken in forms.items():
            ways = [list(pronounced(_plain(f), self._lexicon.word)) for f in spoken]
            if known := [way for way in ways if way]:
                for way in known:
                    graph.add(len(told), way)
                told.append(text)
        scores = graph.best(outputs, len(told)) if told else ()
        phrases = {text: float(score) for text, score in zip(told, scores, strict=True)}
        return ChainReading(phrases, self._free.best(outputs), len(outputs))


def audible(samples: Samples) -> Samples:
    """Return 16-bit samples with a faint sound raised; others, and digital silence, as they are."""
    peak = int(np.abs(samples.astype(np.int32)).max(initial=0))
    if not 0 < peak < FAINT_PEAK:
        return samples
    raised: Samples = np.round(samples * (FAINT_PEAK / peak)).astype(np.int16)
    return raised


def _plain(form: str) -> str:
    return form.lower().translate(_NO_LETTERS)
