"""The word tables the judge works with: data from outside, frozen, passed in."""

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
    """What a word does inside a spoken number."""

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
    """Digits it stands for; for a repeat, how often."""
    point: int | None = None
    """For written digits: how many digits stand before the decimal point, None without one."""
    soft: bool = False
    """True for words that are usually not numbers ("to", "for", "oh")."""
    separator: str = ""
    """For written digits: the mark between them as the recogniser wrote it (".", ",", ":")."""


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
    """Kinds of number it introduces; the first is meant where nothing else tells."""
    digits: int | None
    """Digits that such a number has; None: any."""
    specific: bool = False
    """True where the name tells one quantity from another of the same kind ("QFE")."""


@dataclass(frozen=True, slots=True)
class Addition:
    """Words that may stand beside an answer without changing it."""

    words: Phrase
    said: str
    """As it is said: "all ways", where the words are put in one form."""
    beside: frozenset[str]
    """The answer must hold one of these words; empty: any answer."""
    of: PhraseIndex
    """The challenge must name one of these where it is known; empty: any challenge."""
    last: bool = False
    """True: only after a pause, with nothing after it."""


@dataclass(frozen=True, slots=True)
class Custom:
    """What crews call a state of one particular thing."""

    of: PhraseIndex
    """The challenge must name one of these."""
    listed: Phrase
    """One word of the answer, or all of it."""
    said: tuple[Phrase, ...]
    """What may be said instead."""


@dataclass(frozen=True, slots=True)
class Usage:
    """What crews add to an answer, and what they call things and states."""

    additions: Mapping[str, tuple[Addition, ...]]
    """First word -> additions, longest first."""
    manner: frozenset[str]
    """Words that may stand right after a state ("running normally")."""
    manner_before: frozenset[str]
    """Words that may stand right before a state ("properly closed")."""
    nouns_after: frozenset[str]
    """Nouns that may stand right after a state ("off position")."""
    after_in: frozenset[str]
    """States that may follow "in"."""
    after_on: frozenset[str]
    """States that may follow "on"."""
    customs: tuple[Custom, ...]
    names: tuple[tuple[Phrase, tuple[Phrase, ...]], ...]
    """Words of a challenge -> other names of what it asks about."""
    generic: frozenset[str]
    """Nouns that may stand for whatever was challenged ("the lever is down")."""


@dataclass(frozen=True, slots=True)
class Requests:
    """Orders and agreement: replies that report nothing. Words as said, before any synonym."""

    verbs: frozenset[str]
    pronouns: frozenset[str]
    objects: frozenset[str]
    exempt: frozenset[str]
    switches: frozenset[str]
    wholes: frozenset[str]
    agreement: Mapping[str, tuple[Phrase, ...]]
    """Right answer -> sayings with it that only agree."""


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """All word tables. Compared and hashed by identity: one object per loaded set."""

    hesitations: frozenset[str]
    articles: frozenset[str]
    """Grammar words that mean nothing even in a listed answer."""
    dangling: frozenset[str]
    """Words after which more was to come ("sixty four and")."""
    after_time: frozenset[str]
    """Words that may follow a time of day ("zulu")."""
    skip_words: frozenset[str]
    """Hesitations, courtesies and grammar words: say nothing about an item."""
    skip_phrases: PhraseIndex
    courtesies: frozenset[str]
    titles: frozenset[str]
    """People's titles; their possessive names a side."""
    quantifiers: frozenset[str]
    intensifiers: frozenset[str]
    intensified: frozenset[str]
    """Words an intensifier may stand before ("full forward")."""
    before_noun: frozenset[str]
    """States that may stand before the noun ("full flaps")."""
    beside: frozenset[str]
    """Status words that may stand beside a real status."""
    bare: PhraseIndex
    """Status words and phrases that say no state."""
    as_required: PhraseIndex
    negations: frozenset[str]
    prefixes: tuple[str, ...]
    loose_prefixes: frozenset[str]
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
    """Every single word of any table: none of them is ever matched fuzzily."""
    stronger: Mapping[str, frozenset[str]]
    """Word said -> listed words it says at least as much as."""
    delays: PhraseIndex
    """Words that ask for a moment before the answer."""
    usage: Usage
    """What crews add to an answer, and what they call it."""
    requests: Requests
    """Orders and agreement: replies that report nothing."""
