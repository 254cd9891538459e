"""Compares what was read from a card with a person's reading."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

from callout.bench.cards.lines import Truth
from callout.core.authoring.guesses import Doubt, Guess, Reading

_LIKE = 0.85
"""Share of letters needed to count as the same challenge, so that one misread letter loses no
item.
"""


@dataclass(frozen=True, slots=True)
class Score:
    """Counts of one card."""

    items: int
    found: int
    exact: int
    """Found with the replies that a person reads, or asked about if nobody can tell."""
    asked: int
    """Guesses with a question."""
    invented: int
    """Guesses that are not an item of the card."""
    quantities: int
    lost: int
    """Values of which neither a number, a blank nor a question remains."""
    marks: int
    """Crew marks and conditions on the card."""
    marks_right: int
    wrong: tuple[str, ...] = ()


def score_card(truths: Sequence[Truth], reading: Reading) -> Score:
    """Return how ``reading`` compares with ``truths``; items are matched in any order, once."""
    left = list(reading.guesses)
    pairs: list[tuple[Truth, Guess | None]] = []
    for truth in truths:
        best = max(left, key=lambda g: (_likeness(truth, g), _is_exact(truth, g)), default=None)
        if best is not None and _likeness(truth, best) >= _LIKE:
            left.remove(best)
            pairs.append((truth, best))
        else:
            pairs.append((truth, None))
    wrong = [_told_wrong(t, g) for t, g in pairs if g is None or not _is_exact(t, g)]
    wrong += [f"invented: {g.item.challenge} | {' / '.join(g.item.responses)}" for g in left]
    valued = [(t, g) for t, g in pairs if _has_value(" ".join(t.replies))]
    marked = [(t, g) for t, g in pairs if t.who or t.when]
    return Score(
        items=len(truths),
        found=sum(g is not None for _, g in pairs),
        exact=sum(g is not None and _is_exact(t, g) for t, g in pairs),
        asked=sum(bool(g.doubts) for g in reading.guesses),
        invented=len(left),
        quantities=len(valued),
        lost=sum(not _keeps_value(t, g) for t, g in valued),
        marks=len(marked),
        marks_right=sum(
            g is not None and (g.item.who, g.item.when) == (t.who, t.when) for t, g in marked
        ),
        wrong=tuple(wrong),
    )


def _likeness(truth: Truth, guess: Guess) -> float:
    return Levenshtein.normalized_similarity(_plain(truth.challenge), _plain(guess.item.challenge))


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^a-z0-9]+", " ", text.casefold()).split())


_SIDE = re.compile(r"\b(left|right)(?= ?[{\d])")


def _reply(text: str) -> str:
    """Return a reply to compare; "L 40" is said as "left 40", whichever of them is written."""
    bare = re.sub(r"\{[^{}]*\}", "{}", text.casefold())
    return _SIDE.sub(lambda side: side[1][0], " ".join(bare.split()))


def _is_exact(truth: Truth, guess: Guess) -> bool:
    if truth.asked:
        return Doubt.SLASH in guess.doubts
    same = [_reply(r) for r in truth.replies] == [_reply(r) for r in guess.item.responses]
    open_reply = truth.replies or guess.doubts
    return same and truth.required == guess.item.as_required and bool(open_reply)


def _has_value(text: str) -> bool:
    return "{" in text or any(c.isdigit() for c in text)


def _keeps_value(truth: Truth, guess: Guess | None) -> bool:
    if guess is None:
        return False
    given = " ".join(guess.item.responses)
    wanted = " ".join(truth.replies)
    blanks = given.count("{") >= wanted.count("{")
    return bool(guess.doubts) or (_has_value(given) and blanks)


def _told_wrong(truth: Truth, guess: Guess | None) -> str:
    wanted = f"{truth.challenge} | {' / '.join(truth.replies) or '?'}"
    if guess is None:
        return f"not found: {wanted}"
    doubts = ",".join(doubt.value for doubt in guess.doubts)
    got = f"{guess.item.challenge} | {' / '.join(guess.item.responses) or '?'}"
    return f"{wanted} -> {got} [{doubts}] from {guess.origin.text!r}"
