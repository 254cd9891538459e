"""First what lies near the best prefix, then, if it can matter, all the rest.

Most replies are clear: the phrases far behind are followed to their end only to learn how far. A
search that sets them aside gives for each the least and the most its score can be; where the
decision is the same for both, the rest need not be worked out. Where it is not, the search goes on
where it was cut short, and ends with the scores of a search that set nothing aside.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count

from callout.hearing.embedded.network import END, Encoded, Rows, joined_rows, select_rows
from callout.hearing.embedded.scoring import (
    FLOOR,
    FREE_TOKENS,
    PRUNE,
    Decoder,
    Prefixes,
    Scores,
    Tokens,
    Walk,
    Walking,
    all_steps,
    finish_rows,
    next_prefixes,
    tree_of,
    walk_tree,
)

NEAR = 8.0
"""How far behind the best prefix of its length a prefix may fall before it is set aside."""


@dataclass(slots=True)
class Trail:
    """What a search followed and set aside, by length of the prefix from 1."""

    near: float = NEAR
    best: list[float] = field(default_factory=list)
    """Highest score at each length, finished phrases included."""
    seen: dict[Tokens, float] = field(default_factory=dict)
    """Prefixes that were followed."""
    aside: list[tuple[Prefixes, Rows]] = field(default_factory=list)
    """What was set aside at each length, and the rows it goes on from."""

    def narrow(self, nexts: Prefixes, best: float, rows: Rows) -> Prefixes:
        """Return what is near the best; the rest is set aside."""
        kept = {p: v for p, v in nexts.items() if v[1] > best - self.near}
        left = {p: v for p, v in nexts.items() if p not in kept}
        self.best.append(best)
        self.seen.update((p, total) for p, (_, total) in kept.items())
        self.aside.append((left, replace(rows, log_probs=rows.log_probs[:0])))
        return kept

    def correct(
        self, length: int, best: float, done: Mapping[Tokens, float], prune: float
    ) -> float:
        """Return the highest score at a length, now that what was set aside is known up to there.

        best: the highest of what was set aside; done: the finished phrases that were not.
        """
        left = self.aside[length - 1][0] if length <= len(self.aside) else {}
        scores = {p: total for p, (_, total) in left.items()} | self.seen
        there = {p: v for p, v in scores.items() if len(p) == length} | {
            p: v for p, v in done.items() if v > FLOOR and len(p) < length
        }
        upto = (v for p, v in there.items() if self.followed(p[: length - 1], prune))
        self.best[length - 1 :] = [max(best, *upto, -math.inf)]
        return self.best[-1]

    def followed(self, prefix: Tokens, prune: float) -> bool:
        """Return True if a search that sets nothing aside would have followed it this far."""
        before = (prefix[:n] for n in range(1, len(prefix) + 1))
        return all(self.seen[p] > self.best[len(p) - 1] - prune for p in before if p in self.seen)


@dataclass(frozen=True, slots=True)
class NearScores:
    """The scores of a search that may have set something aside."""

    least: Scores
    """With FLOOR for the phrases that were not followed to their end."""
    trail: Trail

    @property
    def bounds(self) -> dict[Tokens, float]:
        """Score of each prefix set aside: no phrase that begins with it can have more."""
        return {p: total for left, _ in self.trail.aside for p, (_, total) in left.items()}

    def most(self, groups: Iterable[Iterable[Tokens]]) -> Scores:
        """Return scores of which the sum over each group of phrases is the highest it may have."""
        bounds, found = self.bounds, dict(self.least.phrases)
        lengths = sorted({len(prefix) for prefix in bounds})
        for group in groups:
            left = set(bounds)  # all that begins with one prefix is together no likelier than it
            for phrase in group:
                begun = next((p for n in lengths if (p := phrase[:n]) in bounds), None)
                if begun in left and phrase in found:
                    found[phrase] = max(found[phrase], bounds[begun])
                    left.remove(begun)
        return replace(self.least, phrases=found)

    def whole(
        self, network: Decoder, encoded: Encoded, ends: tuple[int, ...], prune: float = PRUNE
    ) -> Scores:
        """Return the scores of a search that sets nothing aside, going on from here."""
        done, trail = self.least.phrases, self.trail
        found = all_steps(network, encoded, _walk_aside(trail, done, ends, prune))
        kept = {
            p: score if score == FLOOR or trail.followed(p, prune) else FLOOR
            for p, score in done.items()
        }
        return replace(self.least, phrases=kept | found)


def score_near(
    network: Decoder,
    encoded: Encoded,
    root: Rows,
    phrases: set[Tokens],
    ends: tuple[int, ...] = (END,),
    near: float = NEAR,
    prune: float = PRUNE,
    free_tokens: int = FREE_TOKENS,
) -> NearScores:
    """Score the phrases near the best, as ``score_phrases`` does, and keep a trail."""
    trail = Trail(near)
    walking = walk_tree(root, phrases, ends, prune, free_tokens, trail.narrow)
    return NearScores(all_steps(network, encoded, walking), trail)


def _walk_aside(
    trail: Trail, done: Mapping[Tokens, float], ends: tuple[int, ...], prune: float
) -> Walking[dict[Tokens, float]]:
    """Follow what was set aside, each prefix from its own length on; return what it ends with.

    ``trail.best`` becomes what it would have been had nothing been set aside.
    """
    phrases = set(done)
    walk = Walk(tree_of(frozenset(phrases)), phrases, scores={})
    rows, order = None, list[Tokens]()
    for length in count(1):
        nexts: Prefixes = {}
        best = max(walk.found.values(), default=-math.inf)
        if rows is not None:
            finish_rows(walk, rows, order, ends)
            nexts, best = next_prefixes(walk, rows, order, prune)
        least = trail.correct(length, best, done, prune) - prune
        left, source = trail.aside[length - 1] if length <= len(trail.aside) else ({}, rows)
        nexts = {p: v for p, v in nexts.items() if v[1] > least}
        left = {p: v for p, v in left.items() if v[1] > least and trail.followed(p, prune)}
        if not nexts and length >= len(trail.aside):
            return walk.found
        parts = [(p, r) for p, r in ((nexts, rows), (left, source)) if p and r is not None]
        order = [prefix for part, _ in parts for prefix in part]
        walk.scores = {p: total for part, _ in parts for p, (_, total) in part.items()}
        rows = (yield [p[-1] for p in order], _joined(parts)) if order else None
    raise AssertionError


def _joined(parts: Sequence[tuple[Prefixes, Rows]]) -> Rows:
    chosen = [select_rows(rows, [row for row, _ in part.values()]) for part, rows in parts]
    return chosen[0] if len(chosen) == 1 else joined_rows(chosen)
