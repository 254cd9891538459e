"""The word tables that the judge works with: external data, frozen, passed in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from callout.core.model.expectation import ValueKind

Phrase = tuple[str, ...]
"""A run of normalised words."""
PhraseIndex = Mapping[str, tuple[tuple[Phrase, Phrase], ...]]
"""First word -> (phrase, what it stands for), longest first."""


class PieceKind(Enum):
    """The role of a word inside a spoken number."""

    DIGIT = "digit"
    TEEN = "teen"
    TENS = "tens"
    WRITTEN = "written"
    HUNDRED = "hundred"
    THOUSAND = "thousand"
    POINT = "point"
    MINUS = "minus"
    PLUS = "plus"
    REPEAT = "repeat"
    HALF = "half"


@dataclass(frozen=True, slots=True)
class Piece:
    """One word of a spoken number."""

    kind: PieceKind
    digits: str = ""
    """Digits it stands for; for a repeat, the number of repeats."""
    point: int | None = None
    """For written digits: number of digits before the decimal point; None if there is no point."""
    soft: bool = False
    """True for words that usually are not numbers ("to", "for", "oh")."""
    separator: str = ""
    """For written digits: the separator as the recogniser wrote it (".", ",", ":")."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of measure."""

    name: str
    says: str
    kind: ValueKind
    step: str


@dataclass(frozen=True, slots=True)
class Label:
    """The name of a quantity, said before its number."""

    name: str
    kinds: tuple[ValueKind, ...]
    """Kinds of number it introduces; the first applies if nothing else decides."""
    digits: int | None
    """Digits that such a number has; None: any."""
    specific: bool = False
    """True if the name distinguishes one quantity from another of the same kind ("QFE")."""


@dataclass(frozen=True, slots=True)
class Addition:
    """Words allowed beside an answer that do not change it."""

    words: Phrase
    said: str
    """The words as said: "all ways", for words that are normalised together."""
    beside: frozenset[str]
    """The answer must contain one of these words; empty: any answer."""
    of: PhraseIndex
    """The challenge, if known, must name one of these; empty: any challenge."""
    last: bool = False
    """True: only after a pause and at the very end."""


@dataclass(frozen=True, slots=True)
class Custom:
    """A name that crews use for a state of one particular thing."""

    of: PhraseIndex
    """The challenge must name one of these."""
    listed: Phrase
    """One word of the answer, or all of it."""
    said: tuple[Phrase, ...]
    """What may be said instead."""


@dataclass(frozen=True, slots=True)
class Usage:
    """What crews add to an answer, and the names they use for things and states."""

    additions: Mapping[str, tuple[Addition, ...]]
    """First word -> additions, longest first."""
    manner: frozenset[str]
    """Words allowed right after a state ("running normally")."""
    manner_before: frozenset[str]
    """Words allowed right before a state ("properly closed")."""
    nouns_after: frozenset[str]
    """Nouns allowed right after a state ("off position")."""
    after_in: frozenset[str]
    """States that may follow "in"."""
    after_on: frozenset[str]
    """States that may follow "on"."""
    customs: tuple[Custom, ...]
    names: tuple[tuple[Phrase, tuple[Phrase, ...]], ...]
    """Words of a challenge -> other names of what it asks about."""
    generic: frozenset[str]
    """Nouns that can stand for whatever was challenged ("the lever is down")."""


@dataclass(frozen=True, slots=True)
class Requests:
    """Orders and agreement: replies that report nothing. Words as said, before synonyms are
    applied.
    """

    verbs: frozenset[str]
    pronouns: frozenset[str]
    objects: frozenset[str]
    exempt: frozenset[str]
    switches: frozenset[str]
    wholes: frozenset[str]
    agreement: Mapping[str, tuple[Phrase, ...]]
    """Right answer -> sayings with it that only express agreement."""


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """All word tables. Compared and hashed by identity: one object per loaded set."""

    hesitations: frozenset[str]
    articles: frozenset[str]
    """Grammar words that carry no meaning even in a listed answer."""
    dangling: frozenset[str]
    """Words that must be followed by something ("sixty four and")."""
    after_time: frozenset[str]
    """Words allowed after a time of day ("zulu")."""
    skip_words: frozenset[str]
    """Hesitations, courtesies and grammar words, which say nothing about an item."""
    skip_phrases: PhraseIndex
    courtesies: frozenset[str]
    titles: frozenset[str]
    """People's titles; their possessive names a side."""
    quantifiers: frozenset[str]
    intensifiers: frozenset[str]
    intensified: frozenset[str]
    """Words that an intensifier may precede ("full forward")."""
    before_noun: frozenset[str]
    """States that may precede the noun ("full flaps")."""
    beside: frozenset[str]
    """Status words allowed beside a real status."""
    bare: PhraseIndex
    """Status words and phrases that name no state."""
    as_required: PhraseIndex
    negations: frozenset[str]
    prefixes: tuple[str, ...]
    loose_prefixes: frozenset[str]
    reversible: Mapping[str, tuple[str, ...]]
    """Words that mean the contrary and differ by an unstressed beginning, by the plain word."""
    hedges: PhraseIndex
    question_words: frozenset[str]
    question_auxiliaries: frozenset[str]
    question_subjects: frozenset[str]
    question_tags: PhraseIndex
    question_endings: frozenset[str]
    corrections: PhraseIndex
    later_corrections: PhraseIndex
    opposites: Mapping[str, tuple[str, ...]]
    """State word -> words that exclude it, most usual first."""
    sides: frozenset[str]
    synonyms: Mapping[str, str]
    phrases: PhraseIndex
    endings: tuple[tuple[str, str], ...]
    contractions: Mapping[str, Phrase]
    pieces: Mapping[str, Piece]
    units: Mapping[str, Unit]
    unit_words: PhraseIndex
    unit_symbols: Mapping[str, str]
    labels: PhraseIndex
    label_kinds: Mapping[str, Label]
    alphabet: Mapping[str, str]
    """Letter -> its spelling word."""
    acronyms: frozenset[str]
    things: PhraseIndex
    """Parts of an aircraft that may be named before any state."""
    switched: PhraseIndex
    """Parts that are switched, never moved up, down, in or out."""
    known: frozenset[str]
    """Every single word of every table; none of them is ever matched fuzzily."""
    stronger: Mapping[str, frozenset[str]]
    """Word said -> listed words that it implies."""
    delays: PhraseIndex
    """Words that ask for a moment before the answer."""
    usage: Usage
    """What crews add to an answer, and the names they use."""
    requests: Requests
    """Orders and agreement: replies that report nothing."""
