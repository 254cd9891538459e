"""How alike two phrases sound: weighted edit distance over their phonemes.

Phonemes are ARPAbet as in the CMU Pronouncing Dictionary, stress marks removed. A substitution
costs the share of articulatory features that differ, so P for B costs less than P for N.
Feature classes follow the IPA chart (manner, place and voicing; height, backness, rounding).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

Phonemes = tuple[str, ...]

_CONSONANTS: Final[Mapping[str, tuple[str, int, bool]]] = {
    # manner, place from the lips (0) to the glottis (8), voiced
    "P": ("stop", 0, False), "B": ("stop", 0, True), "T": ("stop", 3, False),
    "D": ("stop", 3, True), "K": ("stop", 6, False), "G": ("stop", 6, True),
    "CH": ("affricate", 4, False), "JH": ("affricate", 4, True),
    "F": ("fricative", 1, False), "V": ("fricative", 1, True),
    "TH": ("fricative", 2, False), "DH": ("fricative", 2, True),
    "S": ("fricative", 3, False), "Z": ("fricative", 3, True),
    "SH": ("fricative", 4, False), "ZH": ("fricative", 4, True), "HH": ("fricative", 8, False),
    "M": ("nasal", 0, True), "N": ("nasal", 3, True), "NG": ("nasal", 6, True),
    "L": ("liquid", 3, True), "R": ("liquid", 4, True),
    "W": ("glide", 0, True), "Y": ("glide", 5, True),
}  # fmt: skip
_VOWELS: Final[Mapping[str, tuple[float, float]]] = {
    # height 0 (open) to 3 (close), backness 0 (front) to 2 (back); a diphthong is halfway
    "IY": (3, 0), "IH": (2.5, 0.3), "EY": (2, 0.2), "EH": (1.3, 0.3), "AE": (0.6, 0.4),
    "AA": (0, 1.8), "AO": (0.8, 2), "OW": (1.7, 2), "UH": (2.4, 1.7), "UW": (3, 2),
    "AH": (1.2, 1.2), "ER": (1.6, 1.1), "AY": (1.3, 0.9), "AW": (1.2, 1.5), "OY": (1.7, 1.2),
}  # fmt: skip
_DIPHTHONGS: Final = frozenset({"AY", "AW", "OY"})
GAP: Final = 1.0
"""Cost of an extra or missing phoneme."""


@dataclass(frozen=True, slots=True, eq=False)
class Pronunciations:
    """Words with their pronunciations, from a pronouncing dictionary."""

    words: Mapping[str, tuple[Phonemes, ...]]

    def of(self, phrase: str) -> Phonemes | None:
        """Return the usual phonemes of ``phrase`` (lower-case words); None if a word is unknown."""
        out: list[str] = []
        for word in phrase.split():
            ways = self.words.get(word)
            if not ways:
                return None
            out.extend(ways[0])
        return tuple(out)

    def syllables(self, phrase: str) -> int:
        """Return the number of syllables in ``phrase``; an unknown word is estimated by its
        letters.
        """
        return sum(self._syllables(word) for word in phrase.split())

    def _syllables(self, word: str) -> int:
        ways = self.words.get(word)
        if ways:
            return sum(phoneme in _VOWELS for phoneme in ways[0])
        return max(1, round(len(word) / 3))


def phoneme_distance(one: Sequence[str], other: Sequence[str]) -> float:
    """Return the least cost of turning ``one`` into ``other``, in phonemes."""
    row = [GAP * n for n in range(len(other) + 1)]
    for i, mine in enumerate(one, start=1):
        before, row[0] = row[0], GAP * i
        for j, theirs in enumerate(other, start=1):
            best = min(row[j] + GAP, row[j - 1] + GAP, before + confusion_cost(mine, theirs))
            before, row[j] = row[j], best
    return row[-1]


@lru_cache(maxsize=2048)
def confusion_cost(one: str, other: str) -> float:
    """Return the cost of hearing phoneme ``other`` for ``one``: 0 identical, 1 nothing in
    common.
    """
    if one == other:
        return 0.0
    if one in _VOWELS and other in _VOWELS:
        (height, back), (height2, back2) = _VOWELS[one], _VOWELS[other]
        glide = 0.3 if (one in _DIPHTHONGS) != (other in _DIPHTHONGS) else 0.0
        return min(1.0, 0.15 + abs(height - height2) / 4 + abs(back - back2) / 4 + glide)
    if one in _CONSONANTS and other in _CONSONANTS:
        manner, place, voiced = _CONSONANTS[one]
        manner2, place2, voiced2 = _CONSONANTS[other]
        apart = min(1.0, abs(place - place2) / 4)
        return min(1.0, 0.5 * (manner != manner2) + 0.4 * apart + 0.25 * (voiced != voiced2))
    return 1.0
