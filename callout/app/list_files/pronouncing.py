"""Words with their pronunciations, from the CMU Pronouncing Dictionary in the package."""

from __future__ import annotations

import gzip
from collections.abc import Iterator, Mapping
from functools import lru_cache
from importlib import resources

from callout.core.lint.phonemes import Phonemes, Pronunciations

_NO_STRESS = str.maketrans("", "", "0123456789")


class _Dictionary(Mapping[str, tuple[Phonemes, ...]]):
    """The dictionary, read at the first look-up; entries are split when needed."""

    def __getitem__(self, word: str) -> tuple[Phonemes, ...]:
        ways = _dictionary_lines()[word]
        return tuple(tuple(way.translate(_NO_STRESS).split()) for way in ways)

    def __iter__(self) -> Iterator[str]:
        return iter(_dictionary_lines())

    def __len__(self) -> int:
        return len(_dictionary_lines())


@lru_cache(maxsize=1)
def pronunciations() -> Pronunciations:
    """Return how English words are pronounced."""
    return Pronunciations(_Dictionary())


@lru_cache(maxsize=1)
def _dictionary_lines() -> dict[str, tuple[str, ...]]:
    packed = (resources.files("callout") / "data/hearing/cmudict.dict.gz").read_bytes()
    words: dict[str, tuple[str, ...]] = {}
    for raw in gzip.decompress(packed).decode("utf-8").splitlines():
        word, _, said = raw.partition("#")[0].strip().partition(" ")
        word = word.partition("(")[0]
        words[word] = (*words.get(word, ()), said)
    return words
