"""Phrases as graphs of phones in context, and the best path through one."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import Floats

BEGIN, SILENCE, FIRST_ID, POSITIONS = 0, 1, 11, 4
"""Numbers of the model's phones: what stands before an utterance, silence, and the first of four
for each phone of the dictionary: at the begin and the end of a word, inside it, and alone.
"""
NEVER = np.float32(-1e30)
NO_WORD = -1
LONGEST_WORDS = 12

Ints = NDArray[np.intp]
Pronounce = Callable[[str], Sequence[Sequence[int]]]
"""From a word to its pronunciations, in numbers of the dictionary's phones (from 1)."""
Front = dict[int, list[int]]
"""From the phone at the end of a beginning to the nodes that end with it; -1: nothing yet."""


def positioned(phones: Sequence[int]) -> list[int]:
    """Return the model's numbers of one word's phones."""
    last = len(phones) - 1
    places = [0 if i == 0 else 1 if i == last else 2 for i in range(last + 1)] if last else [3]
    return [FIRST_ID + POSITIONS * (p - 1) + at for p, at in zip(phones, places, strict=True)]


@dataclass(slots=True)
class PhoneGraph:
    """Nodes of all phrases together: each is a phone after another, of one output or more."""

    context: NDArray[np.int16]
    """States of a phone after another: (phones, phones, first and following)."""
    entered: list[int] = field(default_factory=list)
    stayed: list[int] = field(default_factory=list)
    before: list[list[int]] = field(default_factory=list)
    ends: list[tuple[int, int]] = field(default_factory=list)
    """Last nodes, each with the number of its phrase."""
    starts: list[int] = field(default_factory=list)
    words: list[int] = field(default_factory=list)
    """For each node the number of its word in its phrase; NO_WORD: silence."""

    def add(self, number: int, words: Sequence[Sequence[Sequence[int]]]) -> None:
        """Add a way to say a phrase: for each word its pronunciations."""
        front: Front = {BEGIN: [-1]}
        front = self._with_silence(front)
        for word, ways in enumerate(words):
            reached: Front = {}
            for way in ways:
                for phone, nodes in self._along(front, positioned(way), word).items():
                    reached.setdefault(phone, []).extend(nodes)
            front = self._with_silence(reached)
        self.ends += [(node, number) for nodes in front.values() for node in nodes]

    def _along(self, front: Front, phones: Sequence[int], word: int) -> Front:
        for phone in phones:
            nodes = [self._node(last, phone, before, word) for last, before in front.items()]
            front = {phone: nodes}
        return front

    def _with_silence(self, front: Front) -> Front:
        pauses = [self._node(last, SILENCE, before, NO_WORD) for last, before in front.items()]
        return {**front, SILENCE: pauses}

    def _node(self, last: int, phone: int, before: Sequence[int], word: int) -> int:
        first, following = self.context[last, phone]
        if first < 0:  # never seen after that phone: as inside an utterance, after a pause
            first, following = self.context[SILENCE, phone]
        self.entered.append(int(first))
        self.stayed.append(int(following))
        self.words.append(word)
        self.before.append([node for node in before if node >= 0])
        if -1 in before:
            self.starts.append(len(self.entered) - 1)
        return len(self.entered) - 1

    def best(self, outputs: Floats, phrases: int) -> Floats:
        """Return the score of the best path through each phrase, natural log."""
        (reached,) = deque(self.reached(outputs), maxlen=1)
        scores = np.full(phrases, NEVER, np.float32)
        nodes, numbers = np.array(self.ends).T
        np.maximum.at(scores, numbers, reached[nodes])
        return scores

    def reached(self, outputs: Floats) -> Iterator[Floats]:
        """Yield for each output the score of the best path to each node; the last stands for none.

        The array is the same each time.
        """
        entered, stayed = outputs[:, self.entered], outputs[:, self.stayed]
        before = self.padded()
        count = len(self.entered)
        reached = np.full(count + 1, NEVER, np.float32)
        reached[self.starts] = entered[0, self.starts]
        yield reached
        for come, stay in zip(entered[1:], stayed[1:], strict=True):
            reached[:count] = np.maximum(reached[:count] + stay, reached[before].max(1) + come)
            yield reached

    def padded(self) -> Ints:
        """Return the nodes before each node; the last number stands for none."""
        most = max(1, *(len(nodes) for nodes in self.before))
        table = np.full((len(self.before), most), len(self.before), np.intp)
        for row, nodes in zip(table, self.before, strict=True):
            row[: len(nodes)] = nodes
        return table


@dataclass(frozen=True, slots=True)
class FreePhones:
    """Any phones in any order that the language allows, to compare phrases with."""

    entered: Ints
    stayed: Ints
    starts: NDArray[np.bool_]
    groups: Ints
    """First node of each phone."""
    comes_from: Ints
    """For each node the group of the phone before it; the last number stands for none."""

    @classmethod
    def of(cls, context: NDArray[np.int16]) -> FreePhones:
        """Return the graph of all phones after each other that have states."""
        last, phone = np.nonzero(context[..., 0] >= 0)
        order = np.argsort(phone, kind="stable")
        last, phone = last[order], phone[order]
        present, groups = np.unique(phone, return_index=True)
        place = np.full(len(context), len(present))
        place[present] = np.arange(len(present))
        entered, stayed = context[last, phone].T.astype(np.intp)
        return cls(entered, stayed, last == BEGIN, groups, place[last])

    def best(self, outputs: Floats) -> float:
        """Return the score of the best path, natural log."""
        (reached,) = deque(self.reached(outputs), maxlen=1)
        return float(reached.max())

    def reached(self, outputs: Floats) -> Iterator[Floats]:
        """Yield for each output the score of the best path to each node."""
        entered, stayed = outputs[:, self.entered], outputs[:, self.stayed]
        reached = np.where(self.starts, entered[0], NEVER)
        yield reached
        for come, stay in zip(entered[1:], stayed[1:], strict=True):
            ended = np.append(np.maximum.reduceat(reached, self.groups), NEVER)
            reached = np.maximum(reached + stay, ended[self.comes_from] + come)
            yield reached


def pronounced(form: str, pronounce: Pronounce) -> Iterator[Sequence[Sequence[int]]]:
    """Yield for each word its pronunciations; nothing at all for a form with an unknown word."""
    ways = [pronounce(word) for word in form.split()]
    if 0 < len(ways) <= LONGEST_WORDS and all(ways):
        yield from ways
