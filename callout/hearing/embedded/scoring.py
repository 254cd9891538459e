"""Scores phrases as a prefix tree, with the free transcript decoded in the same batches."""

from __future__ import annotations

import math
from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Protocol, TypeVar

import numpy as np

from callout.hearing.embedded.network import END, Encoded, Rows, select_rows

FLOOR = -30.0
"""Score of a pruned phrase, natural log: too far behind to matter."""
PRUNE = 14.0
"""How far behind the best prefix of its length a prefix may fall, natural log."""
FREE_TOKENS = 40
"""Longest free transcript, in tokens: about ten seconds of speech."""

Tokens = tuple[int, ...]
Prefixes = dict[Tokens, tuple[int, float]]
"""Prefixes with the row of the prefix one token shorter, and their log-probability."""
Narrow = Callable[[Prefixes, float, Rows], Prefixes]
"""From the prefixes one token longer, the highest score and the rows: those to follow at once."""
Outcome = TypeVar("Outcome")
Walking = Generator[tuple[list[int], Rows], Rows, Outcome]
"""Asks for one step after the other: the tokens to append, and to which prefixes."""


class Decoder(Protocol):
    """Writes text for a recording."""

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        """Append one token to each prefix of ``rows``; both have the same batch size."""


class SeveralDecoder(Protocol):
    """Writes text for several recordings at once."""

    def step_together(
        self, encoded: Sequence[Encoded], tokens: Sequence[list[int]], rows: Sequence[Rows]
    ) -> list[Rows]:
        """Do for each recording what ``Decoder.step`` does for one."""


def _all_of_them(nexts: Prefixes, best: float, rows: Rows) -> Prefixes:
    return nexts


@dataclass(slots=True)
class Walk:
    """The tree's frontier: one row per live prefix, and the free decode's own row."""

    tree: Mapping[Tokens, tuple[Tokens, ...]]
    """By prefix, the prefixes one token longer."""
    phrases: set[Tokens]
    scores: dict[Tokens, float]
    """Log-probability of each live prefix."""
    found: dict[Tokens, float] = field(default_factory=dict)
    """Log-probability of each finished phrase."""
    free: list[int] = field(default_factory=list)
    free_score: float = 0.0
    """Log-probability of the free decode so far."""
    free_done: bool = False


@dataclass(frozen=True, slots=True)
class Scores:
    """Log-likelihoods of one recording."""

    phrases: dict[Tokens, float]
    """Natural-log likelihood of each token sequence, end mark included; FLOOR if pruned."""
    free: list[int]
    """Tokens of the free (greedy) transcript."""
    free_score: float
    """Log-likelihood of the free transcript, end mark included."""


def score_phrases(
    network: Decoder,
    encoded: Encoded,
    root: Rows,
    phrases: set[Tokens],
    ends: tuple[int, ...] = (END,),
    prune: float = PRUNE,
    free_tokens: int = FREE_TOKENS,
) -> Scores:
    """Score every phrase; each distinct prefix passes through the decoder once.

    ``ends`` are the tokens that may close a phrase (end mark first, full stop ...): their
    probabilities are added up, so that "on" and "on." need one row and not two. The free transcript
    is cut off after ``free_tokens``.
    """
    walking = walk_tree(root, phrases, ends, prune, free_tokens)
    return all_steps(network, encoded, walking)


def all_steps(network: Decoder, encoded: Encoded, walking: Walking[Outcome]) -> Outcome:
    """Return what a walk through the tree ends with, after every step that it asks for."""
    rows: Rows | None = None
    while True:
        try:
            tokens, before = walking.send(rows) if rows is not None else next(walking)
        except StopIteration as end:
            outcome: Outcome = end.value
            return outcome
        rows = network.step(encoded, tokens, before)


def score_phrases_together(
    network: SeveralDecoder,
    heard: Sequence[tuple[Encoded, Rows]],
    phrases: set[Tokens],
    ends: tuple[int, ...],
    prune: float,
) -> list[Scores]:
    """Score every phrase in each of several recordings, all at once; no text is written."""
    walks = {at: walk_tree(root, phrases, ends, prune, 0) for at, (_, root) in enumerate(heard)}
    answers: dict[int, Rows] = {}
    done: dict[int, Scores] = {}
    while walks:
        asked: dict[int, tuple[list[int], Rows]] = {}
        for at, walk in list(walks.items()):
            try:
                asked[at] = walk.send(answers[at]) if answers else next(walk)
            except StopIteration as end:
                done[at] = end.value
                del walks[at]
        if asked:
            told = network.step_together(
                [heard[at][0] for at in asked],
                [tokens for tokens, _ in asked.values()],
                [rows for _, rows in asked.values()],
            )
            answers = dict(zip(asked, told, strict=True))
    return [done[at] for at in range(len(heard))]


def walk_tree(
    root: Rows,
    phrases: set[Tokens],
    ends: tuple[int, ...],
    prune: float,
    free_tokens: int,
    narrow: Narrow = _all_of_them,
) -> Walking[Scores]:
    """Follow the phrases from the first token, and the free transcript beside them."""
    walk = Walk(tree_of(frozenset(phrases)), phrases, scores={(): 0.0})
    rows, free_row = root, 0
    order: list[Tokens] = [()]
    while True:
        finish_rows(walk, rows, order, ends)
        nexts = narrow(*next_prefixes(walk, rows, order, prune), rows)
        free_token = _free_step(walk, rows, free_row, ends[0], free_tokens)
        if not nexts and free_token is None:
            break
        parents = [row for row, _ in nexts.values()]
        tokens = [prefix[-1] for prefix in nexts]
        if free_token is not None:
            parents.append(free_row)
            tokens.append(free_token)
        rows = select_rows(rows, parents)  # lets go of the probabilities before more are made
        rows = yield tokens, rows
        order = list(nexts)
        walk.scores = {prefix: total for prefix, (_, total) in nexts.items()}
        free_row = len(tokens) - 1
    return Scores({p: walk.found.get(p, FLOOR) for p in phrases}, walk.free, walk.free_score)


@lru_cache(maxsize=8)
def tree_of(phrases: frozenset[Tokens]) -> Mapping[Tokens, tuple[Tokens, ...]]:
    """Return, for each prefix of the phrases, the prefixes that are one token longer, in order."""
    tree: dict[Tokens, tuple[Tokens, ...]] = {}
    for prefix in sorted({p[:n] for p in phrases for n in range(1, len(p) + 1)}):
        tree[prefix[:-1]] = (*tree.get(prefix[:-1], ()), prefix)
    return tree


def finish_rows(walk: Walk, rows: Rows, order: list[Tokens], ends: tuple[int, ...]) -> None:
    """Note the scores of the phrases that end here."""
    whole = [row for row, prefix in enumerate(order) if prefix and prefix in walk.phrases]
    if whole:
        closing = np.logaddexp.reduce(rows.log_probs[np.ix_(whole, ends)], axis=1).tolist()
        for row, extra in zip(whole, closing, strict=True):
            walk.found[order[row]] = walk.scores[order[row]] + extra


def next_prefixes(
    walk: Walk, rows: Rows, order: list[Tokens], prune: float
) -> tuple[Prefixes, float]:
    """Return the prefixes one token longer that are not too far behind, and the highest score."""
    longer = [(row, p) for row, prefix in enumerate(order) for p in walk.tree.get(prefix, ())]
    before, last = [row for row, _ in longer], [p[-1] for _, p in longer]
    added = rows.log_probs[before, last].tolist() if longer else []
    pairs = zip(longer, added, strict=True)
    nexts = {p: (row, walk.scores[p[:-1]] + extra) for (row, p), extra in pairs}
    best = max([*(score for _, score in nexts.values()), *walk.found.values()], default=-math.inf)
    return {p: v for p, v in sorted(nexts.items()) if v[1] > best - prune}, best


def _free_step(walk: Walk, rows: Rows, row: int, end: int, most: int) -> int | None:
    if walk.free_done:
        return None
    token = int(rows.log_probs[row].argmax())
    walk.free_score += float(rows.log_probs[row, token])
    if token == end or len(walk.free) >= most:
        walk.free_done = True
        return None
    walk.free.append(token)
    return token
