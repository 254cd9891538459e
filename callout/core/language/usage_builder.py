"""Turns the tables of additions, customs, names and requests into frozen values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from callout.core.language import words as lexer
from callout.core.language.phrases import index_phrases
from callout.core.language.tables import (
    Addition,
    Custom,
    Phrase,
    PhraseIndex,
    Requests,
    Tables,
    Usage,
)

_NONE: frozenset[str] = frozenset()
NO_USAGE = Usage({}, _NONE, _NONE, _NONE, _NONE, _NONE, (), (), _NONE)
"""Placeholder until the words that normalise the tables exist."""

_ANY: PhraseIndex = {}


def request_tables(raw: Mapping[str, Any]) -> Requests:
    """Return the tables of orders and agreement."""
    return Requests(
        verbs=frozenset(raw["order_verbs"]),
        pronouns=frozenset(raw["order_pronouns"]),
        objects=frozenset(raw["order_objects"]),
        exempt=frozenset(raw["order_exempt"]),
        switches=frozenset(raw["order_switches"]),
        wholes=frozenset(raw["order_wholes"]),
        agreement={
            word: tuple(tuple(saying.split()) for saying in sayings)
            for word, sayings in raw["agreement"].items()
        },
    )


def stronger_words(raw: Mapping[str, Iterable[str]], base: Tables) -> Mapping[str, frozenset[str]]:
    """Return word said -> listed words that it implies."""
    out: dict[str, frozenset[str]] = {}
    for said, listed in raw.items():
        (word,) = lexer.words_of(said, base)
        out[word] = out.get(word, frozenset()) | _each_word(listed, base)
    return out


def build_usage(raw: Mapping[str, Any], base: Tables) -> Usage:
    """Return what crews add to answers and the names they use; ``base`` normalises the words."""
    table, things = raw["additions"], raw["things"]
    return Usage(
        additions=_addition_table(table, base),
        manner=_each_word(table["manner"], base),
        manner_before=_each_word(table["manner_before"], base),
        nouns_after=_each_word(table["nouns_after"], base),
        after_in=_each_word(table["after_in"], base),
        after_on=_each_word(table["after_on"], base),
        customs=tuple(_custom_sayings(raw["customs"]["customs"], base)),
        names=tuple(
            (lexer.words_of(of, base), tuple(lexer.words_of(n, base) for n in names))
            for of, names in things["names"].items()
        ),
        generic=_each_word(things["generic"], base),
    )


def _each_word(texts: Iterable[str], base: Tables) -> frozenset[str]:
    return frozenset(word for text in texts for word in lexer.words_of(text, base))


def _phrase_index(texts: Iterable[str], base: Tables) -> PhraseIndex:
    return index_phrases((lexer.words_of(text, base), ()) for text in texts)


def _addition_table(table: Mapping[str, Any], base: Tables) -> Mapping[str, tuple[Addition, ...]]:
    found: dict[str, list[Addition]] = {}
    for addition in _each_addition(table, base):
        found.setdefault(addition.words[0], []).append(addition)
    return {w: tuple(sorted(a, key=lambda one: -len(one.words))) for w, a in found.items()}


def _each_addition(table: Mapping[str, Any], base: Tables) -> Iterator[Addition]:
    for row in table["additions"]:
        beside, of = _each_word(row["with"], base), _phrase_index(row.get("of", ()), base)
        for words, said in _written_forms(row["say"], base):
            yield Addition(words, said, beside, of)
    for words, said in _written_forms(table["anywhere"], base):
        yield Addition(words, said, frozenset(), _ANY)
    for words, said in _written_forms(table["at_the_end"], base):
        yield Addition(words, said, frozenset(), _ANY, last=True)


def _written_forms(texts: Iterable[str], base: Tables) -> Iterator[tuple[Phrase, str]]:
    """Yield the words of each text and how it is said; numbers in it also as digits."""
    for text in texts:
        words = lexer.words_of(text, base)
        yield words, text
        digits = tuple("3" if word == "three" else word for word in words)
        if digits != words:
            yield digits, text


def _custom_sayings(rows: Iterable[Mapping[str, Any]], base: Tables) -> Iterator[Custom]:
    for row in rows:
        listed = lexer.words_of(row["listed"], base)
        said = tuple(lexer.words_of(text, base) for text in row["said"])
        yield Custom(_phrase_index(row["of"], base), listed, said)
