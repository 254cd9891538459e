"""How well each phrase fits the sound, according to the chain model."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import Floats
from callout.hearing.chain.network import ChainNetwork, shipped
from callout.hearing.chain.phone_graph import FreePhones, PhoneGraph, pronounced
from callout.hearing.chain.phrase_fit import PhraseFit, phrase_fit
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
        self._kept: tuple[Samples, Floats] | None = None

    @classmethod
    def shipped(cls) -> ChainReader:
        """Return the one in the package."""
        arrays = shipped()
        return cls(ChainNetwork.of(arrays), arrays["context"], Lexicon.shipped())

    def read(self, samples: Samples, forms: Mapping[str, Sequence[str]]) -> ChainReading:
        """Score one utterance, 16-bit mono at 16 kHz, against phrases with their spoken forms."""
        outputs = self._outputs(samples)
        if not len(outputs):
            return ChainReading({}, 0.0, 0)
        graph, told = PhoneGraph(self._context), list[str]()
        for text, spoken in forms.items():
            if self._added(graph, len(told), spoken):
                told.append(text)
        scores = graph.best(outputs, len(told)) if told else ()
        phrases = {text: float(score) for text, score in zip(told, scores, strict=True)}
        return ChainReading(phrases, self._free.best(outputs), len(outputs))

    def fit(self, samples: Samples, spoken: Sequence[str]) -> PhraseFit | None:
        """Return how one utterance fits one phrase; None for one that nobody can pronounce.

        The network is not run again on the utterance that was read last.
        """
        outputs, graph = self._outputs(samples), PhoneGraph(self._context)
        if not len(outputs) or not self._added(graph, 0, spoken):
            return None
        return phrase_fit(graph, self._free, outputs)

    def _added(self, graph: PhoneGraph, number: int, spoken: Sequence[str]) -> bool:
        """Add the ways to say a phrase that can be pronounced; return whether there are any."""
        ways = [list(pronounced(_plain(form), self._lexicon.word)) for form in spoken]
        for way in (way for way in ways if way):
            graph.add(number, way)
        return any(ways)

    def _outputs(self, samples: Samples) -> Floats:
        """Return the network's outputs, kept until another utterance is read."""
        kept = self._kept
        if kept is None or not np.array_equal(kept[0], samples):
            kept = self._kept = samples, self._network.read(audible(samples))
        return kept[1]


def audible(samples: Samples) -> Samples:
    """Return 16-bit samples with a faint sound raised; others, and digital silence, as they are."""
    peak = int(np.abs(samples.astype(np.int32)).max(initial=0))
    if not 0 < peak < FAINT_PEAK:
        return samples
    raised: Samples = np.round(samples * (FAINT_PEAK / peak)).astype(np.int16)
    return raised


def _plain(form: str) -> str:
    return form.lower().translate(_NO_LETTERS)
