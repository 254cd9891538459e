"""What is said at items whose answers have several words: right replies, and near misses."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import chain

from rapidfuzz.distance import Levenshtein

from callout.app.shared.tables import default_tables
from callout.bench.lists import SpokenReply, has_number
from callout.core.judging.judge import judge_reply
from callout.core.language.spoken import spoken_forms
from callout.core.model.verdict import Verdict
from callout.hearing.embedded.lexicon import Lexicon

FORMS, RIGHT, NAMED, ALIKE_AMONG = 4, 3, 2, 600
"""How many ways to say an answer, right replies and named wrong ones an item has; and from how
many words the one that sounds most alike is taken.
"""
OPPOSITES = {
    a: b
    for pair in (
        "on off", "open closed", "left right", "up down", "high low", "full empty", "in out",
        "both neither", "forward aft", "locked unlocked", "set reset", "normal abnormal",
        "armed disarmed", "extended retracted", "free blocked", "start stop", "bright dim",
        "hot cold", "rich lean", "before after", "above below", "complete incomplete",
    )
    for a, b in (pair.split(), pair.split()[::-1])
}  # fmt: skip


class Kind(Enum):
    """How what is said stands to the answer."""

    RIGHT = "right"
    NAMED = "a wrong reply that the list names"
    OPPOSITE = "one word turned round"
    REPLACED = "one word replaced"
    ALIKE = "one word replaced by one that sounds like it"
    ADDED = "one word more"
    DROPPED = "one word less"
    ELSEWHERE = "the answer of another item"


@dataclass(frozen=True, slots=True)
class Try:
    """One thing to say at one item."""

    reply: SpokenReply
    kind: Kind
    right: bool
    """As the judge takes the words, not as they were meant."""


def tries(replies: Sequence[SpokenReply], seed: int = 1) -> Iterator[Try]:
    """Yield what is said at each item without numbers that has an answer of several words.

    replies: those of ``list_replies``, the named wrong ones among them.
    """
    rights = [reply for reply in replies if reply.right and not has_number(reply.expectation)]
    named: dict[tuple[str, str], list[str]] = {}
    for reply in replies:
        if not reply.right:
            named.setdefault((reply.file, reply.item_id), []).append(reply.said)
    words = sorted({word for reply in rights for word in reply.said.split()})
    misses = _NearMisses(words)
    for number, reply in enumerate(rights):
        chance = random.Random(f"{seed} {number}")
        ways = _longer_ways(reply)
        if not ways:
            continue
        wrong = named.get((reply.file, reply.item_id), [])[:NAMED]
        said = [
            *((Kind.RIGHT, way) for way in chance.sample(ways, min(RIGHT, len(ways)))),
            *((Kind.NAMED, text) for text in wrong),
            *misses.of(chance.choice(ways), chance),
            *misses.of(chance.choice(ways), chance),
            (Kind.ELSEWHERE, chance.choice(rights).said),
        ]
        yield from _judged(reply, said)


def _judged(reply: SpokenReply, said: Sequence[tuple[Kind, str]]) -> Iterator[Try]:
    told: set[str] = set()
    for kind, text in said:
        if not text or text in told:
            continue
        told.add(text)
        verdict = judge_reply(text, reply.expectation, default_tables()).verdict
        right = verdict is Verdict.MATCH
        if right is (kind is Kind.RIGHT):  # else the words mean what they were not to mean
            one = SpokenReply(reply.file, reply.item_id, text, right, reply.expectation)
            yield Try(one, kind, right)


def _longer_ways(reply: SpokenReply) -> list[str]:
    answers = reply.expectation.accepted[:RIGHT]
    ways = chain.from_iterable(spoken_forms(a, default_tables(), FORMS) for a in answers)
    return list(dict.fromkeys(way for way in ways if " " in way))


class _NearMisses:
    """Changes one word of a phrase."""

    def __init__(self, words: Sequence[str]) -> None:
        self._words, self._lexicon = words, Lexicon.shipped()

    def of(self, phrase: str, chance: random.Random) -> Iterator[tuple[Kind, str]]:
        """Yield one near miss of each kind that is possible."""
        words = phrase.split()

        def put(at: int, *instead: str) -> str:
            return " ".join([*words[:at], *instead, *words[at + 1 :]])

        at = chance.randrange(len(words))
        yield Kind.REPLACED, put(at, chance.choice(self._words))
        if alike := self._alike(words[at], chance):
            yield Kind.ALIKE, put(at, alike)
        more = chance.choice(("not", "not", chance.choice(self._words)))
        place = chance.randrange(len(words) + 1)
        yield Kind.ADDED, " ".join([*words[:place], more, *words[place:]])
        yield Kind.DROPPED, put(at)
        for at, word in enumerate(words):
            if word in OPPOSITES:
                yield Kind.OPPOSITE, put(at, OPPOSITES[word])

    def _alike(self, word: str, chance: random.Random) -> str | None:
        """Return a word that sounds like it."""
        mine = self._lexicon.word(word)
        if not mine:
            return None
        among = chance.sample(self._words, min(ALIKE_AMONG, len(self._words)))
        known = {other: self._lexicon.word(other) for other in among if other != word}
        apart = {
            other: Levenshtein.distance(mine[0], ways[0]) for other, ways in known.items() if ways
        }
        return min(apart, key=lambda other: apart[other], default=None)
