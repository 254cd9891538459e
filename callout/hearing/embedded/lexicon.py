"""How words are pronounced: the CMU Pronouncing Dictionary plus the trade's own words."""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from importlib import resources
from itertools import islice, product

PHONES = (
    "AA", "AE", "AH", "AO", "AW", "AY", "B", "CH", "D", "DH", "EH", "ER", "EY", "F", "G", "HH",
    "IH", "IY", "JH", "K", "L", "M", "N", "NG", "OW", "OY", "P", "R", "S", "SH", "T", "TH", "UH",
    "UW", "V", "W", "Y", "Z", "ZH",
)  # fmt: skip
"""The dictionary's 39 phones, without stress; number 0 is reserved for "no phone"."""
NUMBER = {phone: i + 1 for i, phone in enumerate(PHONES)}
MOST_WAYS = 6
"""Pronunciations kept for a phrase of up to two words; a longer one keeps LONG_WAYS."""
LONG_WAYS = 2
SHORTEST_PART = 3

Phones = tuple[int, ...]


class Lexicon:
    """Looks words up in the dictionary's text, without holding 126,000 words as objects."""

    def __init__(self, text: bytes, extra: bytes = b"") -> None:
        """text, extra: lines of ``word PHONE PHONE ...``; a second way is ``word(2)``."""
        self._text = b"\n" + text + b"\n"
        self._extra = b"\n" + extra + b"\n"
        self._known: dict[str, tuple[Phones, ...]] = {}

    @classmethod
    def shipped(cls) -> Lexicon:
        """Return the dictionary in the package with our additions."""
        folder = resources.files("callout") / "data/hearing"
        text = gzip.decompress((folder / "cmudict.dict.gz").read_bytes())
        return cls(text, (folder / "pronunciations.txt").read_bytes())

    def word(self, word: str) -> tuple[Phones, ...]:
        """Return the pronunciations of a lower-case word; empty if unknown."""
        if word not in self._known:
            self._known[word] = self._look_up(word) or self._in_two(word)
        return self._known[word]

    def phrase(self, words: str) -> tuple[Phones, ...]:
        """Return the pronunciations of a phrase, a few at most; empty if a word is unknown."""
        ways = [self.word(w) for w in words.split()]
        if not ways or not all(ways):
            return ()
        joined = (tuple(p for part in way for p in part) for way in product(*ways))
        most = MOST_WAYS if len(ways) <= 2 else LONG_WAYS
        return tuple(dict.fromkeys(islice(joined, most)))

    def _look_up(self, word: str) -> tuple[Phones, ...]:
        found = [
            p
            for text in (self._extra, self._text)
            for p in _pronunciations_on_line(text, word.encode())
        ]
        return tuple(dict.fromkeys(found))

    def _in_two(self, word: str) -> tuple[Phones, ...]:
        """Read a compound ("crossfeed") as its two parts."""
        for at in range(SHORTEST_PART, len(word) - SHORTEST_PART + 1):
            first, second = self._look_up(word[:at]), self._look_up(word[at:])
            if first and second:
                return (first[0] + second[0],)
        return ()


def _pronunciations_on_line(text: bytes, word: bytes) -> Iterator[Phones]:
    """Yield the pronunciations on the word's line and on the ``word(2)`` lines after it."""
    at = text.find(b"\n" + word + b" ")
    while at >= 0:
        end = text.find(b"\n", at + 1)
        name, _, phones = text[at + 1 : end].partition(b" ")
        if name != word and not name.startswith(word + b"("):
            return
        kept = phones.partition(b"#")[0].decode().split()
        yield tuple(NUMBER[p.rstrip("012")] for p in kept)
        at = end
