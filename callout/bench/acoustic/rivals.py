"""What a reply might be mistaken for: the same words with one replaced by a similar one."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

from rapidfuzz.distance import Levenshtein

from callout.bench.fitting.training_texts import DIGITS, REPLY_WORDS, TENS
from callout.hearing.embedded.lexicon import Lexicon, Phones

NEAR = 14
"""Number of similar-sounding words kept for each word."""
OPPOSITE = (
    ("on", "off"), ("open", "closed"), ("up", "down"), ("left", "right"), ("yes", "no"),
    ("armed", "disarmed"), ("locked", "unlocked"), ("in", "out"), ("high", "low"), ("rich", "lean"),
    ("extended", "retracted"), ("auto", "manual"), ("normal", "alternate"), ("stop", "go"),
    ("hot", "cold"), ("forward", "aft"), ("five", "nine"), ("set", "not set"),
    ("secure", "not secure"), ("fastened", "unfastened"), ("checked", "not checked"),
)  # fmt: skip


class Rivals:
    """Finds phrases that differ from a text by one word changed, left out or inserted."""

    def __init__(self, lexicon: Lexicon, common: Sequence[str]) -> None:
        self._lexicon = lexicon
        known = dict.fromkeys((*REPLY_WORDS, *DIGITS, *TENS, *common))
        self._sounds = {w: ways[0] for w in known if (ways := lexicon.word(w))}
        self._frequent = [w for w in (*REPLY_WORDS, *DIGITS, *TENS) if w in self._sounds]
        self._near: dict[str, list[str]] = {}
        self._contrary = dict((*OPPOSITE, *((b, a) for a, b in OPPOSITE)))

    def of(self, text: str, chance: random.Random, count: int) -> list[Phones]:
        """Return up to ``count`` pronunciations of other phrases."""
        words, said = text.split(), set(self._lexicon.phrase(text))
        found: dict[Phones, None] = {}
        for _ in range(3 * count):
            if len(found) >= count:
                break
            sounds = self._lexicon.phrase(" ".join(self._changed(words, chance)))
            if sounds and sounds[0] not in said:
                found[sounds[0]] = None
        return list(found)

    def _changed(self, words: list[str], chance: random.Random) -> list[str]:
        if not words:
            return [chance.choice(self._frequent)]
        at, pick = chance.randrange(len(words)), chance.random()
        if len(words) > 1 and pick < 0.12:
            return words[:at] + words[at + 1 :]
        if len(words) > 1 and pick < 0.2:
            return [*words[:at], words[at], *words[at:]]
        if len(words) > 1 and pick < 0.27 and at:
            return [*words[: at - 1], words[at], words[at - 1], *words[at + 1 :]]
        return [*words[:at], self._instead(words[at], chance), *words[at + 1 :]]

    def _instead(self, word: str, chance: random.Random) -> str:
        if word in self._contrary and chance.random() < 0.2:
            return self._contrary[word]
        if word in DIGITS and chance.random() < 0.6:
            return chance.choice(DIGITS)
        if chance.random() < 0.55:
            return chance.choice(self._like(word) or self._frequent)
        return chance.choice(self._frequent)

    def _like(self, word: str) -> list[str]:
        if word not in self._near:
            own = (self._lexicon.word(word) or ((),))[0]
            others = (w for w, sounds in self._sounds.items() if sounds != own)
            self._near[word] = sorted(others, key=lambda w: _distance(own, self._sounds[w]))[:NEAR]
        return self._near[word]


@cache
def _distance(a: Phones, b: Phones) -> float:
    return Levenshtein.distance(a, b) + 0.01 * abs(len(a) - len(b))
