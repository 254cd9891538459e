"""Which scores of the chain model belong to a phone after another one.

The model's files do not say so directly: its tree is not among them. Its graph of words does. Each
arc enters a phone, and names the entry ("transition") by a number; the loop in that phone has the
number before it. Whatever phone led to the arc's origin is the one on the left. Every pair that the
graph shows has one entry and one loop only.

Written from the published sources of Kaldi and OpenFst (both Apache-2.0).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from callout.bench.fitting.kaldi_files import Array, BinaryFile

_MAGIC_GRAPH, _MAGIC_EXTRA = 0x7EB2FDD6, 446681434
_SYMBOLS = 3
"""Bits of a header that say that names of labels follow it."""
_STATE = np.dtype([("final", "<f4"), ("first", "<u4"), ("arcs", "<u4"), ("unused", "<u4", (2,))])
_ARC = np.dtype([("entry", "<i4"), ("word", "<i4"), ("weight", "<f4"), ("to", "<i4")])
UNSEEN = -1


@dataclass(frozen=True, slots=True)
class Transitions:
    """What each transition number stands for; 0 stands for nothing."""

    phone: Array
    score: Array
    """Column of the network's output."""
    loop: Array
    """Whether it stays in the phone."""
    allowed: frozenset[tuple[int, int, int]]
    """Phone, score at its entry and score of its loop, as the model may combine them."""


@dataclass(frozen=True, slots=True)
class WordGraph:
    """The arcs of the graph, and the state it begins in."""

    start: int
    states: int
    origin: Array
    entry: Array
    to: Array


def read_transitions(data: bytes, name: str) -> Transitions:
    """Return the transitions at the head of a model; raises ModelNotFound if it is damaged."""
    file = BinaryFile(data, name)
    file.block(np.uint8, 2)
    file.token("<TransitionModel>")
    file.token("<Topology>")
    file.whole_numbers()
    topology = file.whole_numbers()
    if file.number() != -1:  # one score for entry and loop: another kind of model
        raise file.damaged()
    topologies = [_states_of_topology(file) for _ in range(file.number())]
    file.token("</Topology>")
    file.token("<Tuples>")
    rows: list[tuple[int, int, bool]] = [(0, UNSEEN, False)]
    allowed = set()
    for _ in range(file.number()):
        phone, state, entry, loop = (file.number() for _ in range(4))
        allowed.add((phone, entry, loop))
        for to in topologies[topology[phone]][state]:
            rows.append((phone, loop if to == state else entry, to == state))
    file.token("</Tuples>")
    phones, scores, loops = zip(*rows, strict=True)
    return Transitions(np.array(phones), np.array(scores), np.array(loops), frozenset(allowed))


def _states_of_topology(file: BinaryFile) -> list[list[int]]:
    """Return, for each state of a kind of phone, the states that can follow it."""
    states = []
    for _ in range(file.number()):
        file.number(), file.number()
        states.append([_next_state(file) for _ in range(file.number())])
    return states


def _next_state(file: BinaryFile) -> int:
    to = int(file.number())
    file.number("f")
    return to


def read_graph(data: bytes, name: str) -> WordGraph:
    """Return the graph of words; raises ModelNotFound if it is damaged."""
    file = BinaryFile(data, name)
    _graph_header(file)
    if file.plain("I") != _MAGIC_EXTRA:
        raise file.damaged()
    start, states, arcs = _graph_header(file)
    state = file.block(_STATE, states)
    arc = file.block(_ARC, arcs)
    if int(state["arcs"].sum()) != arcs or arc["to"].max() >= states:
        raise file.damaged()
    origin = np.repeat(np.arange(states), state["arcs"])
    return WordGraph(start, states, origin, arc["entry"], arc["to"])


def _graph_header(file: BinaryFile) -> tuple[int, int, int]:
    if file.plain("I") != _MAGIC_GRAPH:
        raise file.damaged()
    for _ in range(2):  # the kinds of graph and arc
        file.block(np.uint8, file.plain("i"))
    file.plain("i")  # version
    if file.plain("i") & _SYMBOLS:
        raise file.damaged()
    file.plain("Q")  # properties
    start, states, arcs = (file.plain("q") for _ in range(3))
    return start, states, arcs


def seen_contexts(graph: WordGraph, moves: Transitions, markers: Array, phones: int) -> Array:
    """Return (left phone, phone, 2): the scores at entry and in the loop, or -1 where never seen.

    markers: transition numbers that stand for no sound. The left phone 0 is the beginning. Raises
    ValueError if a pair has two entries.
    """
    silent = np.isin(graph.entry, markers)
    sound = ~silent & ~moves.loop[np.where(silent, 0, graph.entry)]
    last = _last_phones(graph, moves, silent, sound, phones)
    origin, entry = graph.origin[sound], graph.entry[sound]
    context = np.full((phones, phones, 2), UNSEEN, np.int16)
    for left in range(phones):
        here = np.unique(entry[last[origin, left]])
        scores = np.stack([moves.score[here], moves.score[here - 1]], axis=1)
        context[left, moves.phone[here]] = scores
        if not np.array_equal(context[left, moves.phone[here]], scores):
            raise ValueError(f"two entries for a phone after {left}")
    return context


def _last_phones(
    graph: WordGraph, moves: Transitions, silent: Array, sound: Array, phones: int
) -> Array:
    """Return (state, phone): whether the phone is the last one on some way to the state."""
    last = np.zeros((graph.states, phones), bool)
    last[graph.start, 0] = True
    last[graph.to[sound], moves.phone[graph.entry[sound]]] = True
    origin, to = graph.origin[silent], graph.to[silent]
    before = -1
    while (now := int(last.sum())) != before:
        before = now
        for phone in np.flatnonzero(last.any(axis=0)):
            last[to[last[origin, phone]], phone] = True
    return last
