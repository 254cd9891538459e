"""Guesses the scores of pairs of phones that no word of the chain model's graph has.

Tried on 1,000 known pairs within words, left out one at a time: both scores are right in 70 of 100,
the one at the entry in 82. Of the 135,166 ways to say a word in the dictionary, 151 need a guess.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from callout.bench.fitting.chain_context import UNSEEN
from callout.bench.fitting.kaldi_files import Array

NONWORD, BEGIN, END, INTERNAL = "nonword", "begin", "end", "internal"
_INSIDE = (BEGIN, INTERNAL)
"""After these a word goes on."""
_FIRST_IN_WORDS = 11
_PLACES = 4
"""Numbers of one phone of words: begin, end, internal, singleton."""
_MANY_SCORES = 10_000
_SAME_NAME = 50
"""Phones of the same name count so many times when two phones on the left are compared."""
_SILENCES = (1, 5, 10)
"""Pause between words, pause as a word, and noise: other phones of no word are never used."""

Scores = tuple[int, int]


def kinds_of_phones(text: bytes) -> dict[int, str]:
    """Return the place in a word of each phone: begin, end, internal, singleton or nonword."""
    pairs = (line.split() for line in text.decode("ascii").splitlines())
    return {int(phone): kind for phone, kind in pairs}


def filled_contexts(
    seen: Array, kinds: Mapping[int, str], allowed: frozenset[tuple[int, int, int]]
) -> Array:
    """Return (left phone, phone, 2) with guesses at the pairs that may follow in speech."""
    filled = seen.copy()
    guesses = _Guesses(seen, kinds, allowed)
    used = [phone for phone in kinds if phone in _SILENCES or phone >= _FIRST_IN_WORDS]
    for left in (0, *used):
        goes_on = kinds.get(left) in _INSIDE
        for phone in used:
            fits = (kinds[phone] in (INTERNAL, END)) == goes_on
            if fits and seen[left, phone, 0] == UNSEEN:
                found = guesses.scores(left, phone)
                filled[left, phone] = (UNSEEN, UNSEEN) if found is None else found
    return filled


class _Guesses:
    """What one guesses from: the pairs seen, as one number each."""

    def __init__(
        self, seen: Array, kinds: Mapping[int, str], allowed: frozenset[tuple[int, int, int]]
    ) -> None:
        self._seen, self._kinds, self._allowed = seen, kinds, allowed
        self._have = seen[..., 0] != UNSEEN
        self._code = seen[..., 0].astype(np.int64) * _MANY_SCORES + seen[..., 1]
        numbers = np.arange(len(seen))
        names = (numbers - _FIRST_IN_WORDS) // _PLACES
        self._names = np.where(numbers < _FIRST_IN_WORDS, -1 - numbers, names)

    def scores(self, left: int, phone: int) -> Scores | None:
        """Return those of the same phone elsewhere in a word, or after the most similar phone."""
        if self._kinds[phone] in (END, INTERNAL):
            other = phone + 1 if self._kinds[phone] == END else phone - 1
            entry, loop = (int(score) for score in self._seen[left, other])
            if (phone, entry, loop) in self._allowed:
                return entry, loop
        similar = self._similar(left, phone)
        if similar is None:
            return None
        entry, loop = (int(score) for score in self._seen[similar, phone])
        return entry, loop

    def _similar(self, left: int, phone: int) -> int | None:
        """Return the phone that shares most scores with ``left`` before the phones both precede."""
        candidates = self._have[:, phone].copy()
        candidates[left] = False
        if not candidates.any():
            return None
        weight = np.where(self._names == self._names[phone], float(_SAME_NAME), 1.0)
        weight[phone] = 0
        both = self._have & self._have[left]
        alike = (self._code == self._code[left]) & both
        share = (alike @ weight + 0.5) / (both @ weight + 2)
        return int(np.where(candidates, share, -1).argmax())
