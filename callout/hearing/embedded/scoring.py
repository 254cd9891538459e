"""Score phrases as a prefix tree, with the free transcript decoded in the same batches."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from callout.hearing.embedded.network import END, Encoded, Rows, select

FLOOR = -30.0
"""Score of a phrase that was pruned, natural log: too far behind to matter."""
PRUNE = 14.0
"""How far behind the best prefix of its length a prefix may fall, natural log."""
FREE_TOKENS = 40
"""Longest free transcript, in tokens: about ten seconds of speech."""

Tokens = tuple[int, ...]


class Decoder(Protocol):
    """What writes text for a recording."""

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        """Append one token to each prefix of ``rows``; both have the same batch size."""


@dataclass(slots=True)
class _Walk:
    """The tree's frontier: one row per live prefix, and the free decode's own row."""

    scores: dict[Tokens, float]
    found: dict[Tokens, float] = field(default_factory=dict)
    free: list[int] = field(default_factory=list)
    free_score: float = 0.0
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


def score(
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
    walk = _Walk(scores={(): 0.0})
    rows, free_row = root, 0
    order: list[Tokens] = [()]
    alive = {p for p in phrases if p}
    while True:
        _finish(walk, alive, rows, order, ends)
        alive = {p for p in alive if len(p) > len(order[0])} if order else set()
        nexts = _next_prefixes(walk, alive, rows, order, prune)
        alive = {p for p in alive if p[: len(order[0]) + 1] in nexts} if order else set()
        free_token = _free_step(walk, rows, free_row, ends[0], free_tokens)
        if not nexts and free_token is None:
            break
        parents = [row for row, _ in nexts.values()]
        tokens = [prefix[-1] for prefix in nexts]
        if free_token is not None:
            parents.append(free_row)
            tokens.append(free_token)
        rows = network.step(encoded, tokens, select(rows, parents))
        order = list(nexts)
        walk.scores = {prefix: total for prefix, (_, total) in nexts.items()}
        free_row = len(tokens) - 1
    return Scores({p: walk.found.get(p, FLOOR) for p in phrases}, walk.free, walk.free_score)


def _finish(
    walk: _Walk, alive: set[Tokens], rows: Rows, order: list[Tokens], ends: tuple[int, ...]
) -> None:
    for row, prefix in enumerate(order):
        if prefix in alive:
            closing = float(np.logaddexp.reduce(rows.log_probs[row, list(ends)]))
            walk.found[prefix] = walk.scores[prefix] + closing


def _next_prefixes(
    walk: _Walk, alive: set[Tokens], rows: Rows, order: list[Tokens], prune: float
) -> dict[Tokens, tuple[int, float]]:
    row_of = {prefix: row for row, prefix in enumerate(order)}
    nexts: dict[Tokens, tuple[int, float]] = {}
    for p in alive:
        parent, longer = p[: len(order[0])], p[: len(order[0]) + 1]
        if longer not in nexts:
            row = row_of[parent]
            nexts[longer] = (row, walk.scores[parent] + float(rows.log_probs[row, longer[-1]]))
    best = max([s for _, s in nexts.values()] + list(walk.found.values()), default=0.0)
    return {p: v for p, v in sorted(nexts.items()) if v[1] > best - prune}


def _free_step(walk: _Walk, rows: Rows, row: int, end: int, most: int) -> int | None:
    if walk.free_done:
        return None
    token = int(rows.log_probs[row].argmax())
    walk.free_score += float(rows.log_probs[row, token])
    if token == end or len(walk.free) >= most:
        walk.free_done = True
        return None
    walk.free.append(token)
    return token
