"""How well an utterance fits one phrase, output by output."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from callout.arithmetic import Floats
from callout.hearing.chain.phone_graph import NO_WORD, FreePhones, Ints, PhoneGraph


@dataclass(frozen=True, slots=True)
class PhraseFit:
    """The best path through a phrase beside the best path through any phones."""

    behind: Floats
    """For each output of 30 ms, how far the phrase is behind any phones, natural log; above 0
    where those lose something to gain more elsewhere.
    """
    words: Ints
    """For each output the number of the word; NO_WORD: silence."""

    def worst(self, outputs: int) -> float:
        """Return the lowest mean over so many outputs in a row; over all if there are fewer."""
        return _worst(self.behind, outputs)

    @property
    def by_word(self) -> tuple[Floats, ...]:
        """The outputs of each word that has any."""
        found = (self.behind[self.words == word] for word in range(int(self.words.max()) + 1))
        return tuple(one for one in found if len(one))

    def worst_pause(self, outputs: int) -> float:
        """Return the same as ``worst`` over the silences alone, put together; 0: there are none."""
        pauses = self.behind[self.words == NO_WORD]
        return _worst(pauses, outputs) if len(pauses) else 0.0

    @property
    def pauses(self) -> tuple[float, float, float]:
        """Sums over the silence before the first word, after the last, and between."""
        silent = self.words == NO_WORD
        spoken = np.flatnonzero(~silent)
        if not len(spoken):
            return float(self.behind.sum()), 0.0, 0.0
        first, last = int(spoken[0]), int(spoken[-1]) + 1
        between = self.behind[first:last][silent[first:last]]
        return tuple(float(x.sum()) for x in (self.behind[:first], self.behind[last:], between))  # type: ignore[return-value]


def phrase_fit(graph: PhoneGraph, free: FreePhones, outputs: Floats) -> PhraseFit:
    """Return how the outputs fit the best phrase of a graph."""
    mine, nodes = _path(graph, outputs)
    words = np.array(graph.words, np.intp)[nodes]
    return PhraseFit(mine - _free_path(free, outputs), words)


def _path(graph: PhoneGraph, outputs: Floats) -> tuple[Floats, Ints]:
    """Return the log-probabilities on the best path, and its nodes."""
    entered, stayed = outputs[:, graph.entered], outputs[:, graph.stayed]
    before = graph.padded()
    reached = np.array([row.copy() for row in graph.reached(outputs)])
    ends = np.array([node for node, _ in graph.ends])
    node = int(ends[reached[-1, ends].argmax()])
    told, nodes = np.zeros(len(outputs), np.float32), np.zeros(len(outputs), np.intp)
    for at in range(len(outputs) - 1, 0, -1):
        nodes[at] = node
        others = before[node]
        best = int(others[reached[at - 1, others].argmax()])
        stays = reached[at - 1, node] + stayed[at, node]
        moves = stays < reached[at - 1, best] + entered[at, node]
        told[at] = entered[at, node] if moves else stayed[at, node]
        node = best if moves else node
    nodes[0], told[0] = node, entered[0, node]
    return told, nodes


def _free_path(free: FreePhones, outputs: Floats) -> Floats:
    """Return the log-probabilities on the best path through any phones."""
    entered, stayed = outputs[:, free.entered], outputs[:, free.stayed]
    reached = np.array([*free.reached(outputs)])
    bounds = np.append(free.groups, entered.shape[1])
    node, told = int(reached[-1].argmax()), np.zeros(len(outputs), np.float32)
    for at in range(len(outputs) - 1, 0, -1):
        group = int(free.comes_from[node])
        stays = reached[at - 1, node] + stayed[at, node]
        told[at] = stayed[at, node]
        if group == len(free.groups):
            continue
        start, end = int(bounds[group]), int(bounds[group + 1])
        best = start + int(reached[at - 1, start:end].argmax())
        if stays < reached[at - 1, best] + entered[at, node]:
            told[at], node = entered[at, node], best
    told[0] = entered[0, node]
    return told


def _worst(behind: Floats, outputs: int) -> float:
    if len(behind) <= outputs:
        return float(behind.mean())
    sums = np.concatenate([[0.0], np.cumsum(behind, dtype=np.float64)])
    return float((sums[outputs:] - sums[:-outputs]).min() / outputs)
