"""Turns a candidate set into the phrases that a Vosk model can listen for."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import chain
from types import MappingProxyType

from callout.core.model.candidates import CandidateSet

UNKNOWN_MARKS = ("[unk]", "<UNK>", "<unk>", "<SPOKEN_NOISE>", "[noise]", "[laughter]", "!SIL")
"""Entries with which models report "speech, but no word of mine" or "no speech"."""

NUMBER_WORDS = frozenset(
    num
    for line in (
        "zero oh one two three four five six seven eight nine niner ten eleven twelve thirteen",
        "fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty",
        "seventy eighty ninety hundred thousand point decimal minus",
    )
    for num in line.split()
)

Words = tuple[str, ...]
Knows = Callable[[str], bool]


@dataclass(frozen=True, slots=True)
class Grammar:
    """What to listen for, and what can't be listened for."""

    phrases: Mapping[Words, str] = field(default_factory=lambda: MappingProxyType({}))
    """Words of a form, in the model's spelling -> the candidate's text."""
    extra: tuple[str, ...] = ()
    """Other grammar entries: number words if a value is expected, and the unknown mark."""
    value_words: frozenset[str] = frozenset()
    """Words that a spoken value may consist of here; empty if the item has no value."""
    left_out: Mapping[Words, str] = field(default_factory=lambda: MappingProxyType({}))
    """Forms with a word outside the vocabulary -> the candidate's text."""

    def entries(self) -> tuple[str, ...]:
        """Return the phrases for the library; none if nothing can be recognised."""
        if not self.phrases and not self.value_words:
            return ()
        return (*(" ".join(words) for words in self.phrases), *self.extra)


def sayable_words(word: str, knows: Knows) -> Words:
    """Return ``word`` in the model's spelling, in one or more words; empty if it can't."""
    plain = unicodedata.normalize("NFC", word.strip().replace("\u2019", "'"))
    for spelled in (plain, plain.lower()):
        if _is_word(spelled) and knows(spelled):
            return (spelled,)
    pieces = tuple(piece for piece in plain.lower().split("-") if piece)
    if len(pieces) > 1 and all(_is_word(piece) and knows(piece) for piece in pieces):
        return pieces
    return ()


def build_grammar(candidates: CandidateSet, knows: Knows) -> Grammar:
    """Return the grammar of ``candidates`` for a model; ``knows`` is its vocabulary."""
    phrases: dict[Words, str] = {}
    left_out: dict[Words, str] = {}
    for candidate in candidates.candidates:
        for form in candidate.forms:
            spoken = tuple(form.split())
            spelled = [sayable_words(word, knows) for word in spoken]
            if spoken and all(spelled):
                phrases.setdefault(tuple(chain.from_iterable(spelled)), candidate.text)
            elif spoken:
                left_out.setdefault(tuple(word.lower() for word in spoken), candidate.text)
    numbers = _number_words(candidates, knows)
    marks = tuple(mark for mark in UNKNOWN_MARKS[:3] if knows(mark))[:1]
    return Grammar(
        phrases=MappingProxyType(phrases),
        extra=(*sorted(numbers), *marks),
        value_words=numbers | _words_beside_values(candidates, phrases) if numbers else numbers,
        left_out=MappingProxyType(left_out),
    )


def _number_words(candidates: CandidateSet, knows: Knows) -> frozenset[str]:
    if not any(candidate.values for candidate in candidates.candidates):
        return frozenset()
    return frozenset(word for word in NUMBER_WORDS if knows(word))


def _words_beside_values(candidates: CandidateSet, phrases: Mapping[Words, str]) -> frozenset[str]:
    with_values = {candidate.text for candidate in candidates.candidates if candidate.values}
    return frozenset(
        word for words, text in phrases.items() if text in with_values for word in words
    )


def _is_word(text: str) -> bool:
    """Say whether ``text`` can be a spoken word; marks such as ``[unk]`` or ``<eps>`` can't."""
    letters = text.replace("'", "").replace("-", "").replace(".", "")
    return letters.isalpha()
