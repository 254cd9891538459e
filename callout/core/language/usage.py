"""What crews call the thing challenged and its states, used only where the challenge names it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from callout.core.language.phrases import names_one
from callout.core.language.tables import Addition, Phrase, Tables
from callout.core.language.words import Token


@lru_cache(maxsize=4096)
def customary_sayings(
    challenge: Phrase, wrong: frozenset[str], tables: Tables
) -> Mapping[str, tuple[Phrase, ...]]:
    """Return listed word -> alternatives for it, without those that the list names as wrong."""
    out: dict[str, tuple[Phrase, ...]] = {}
    for custom in tables.usage.customs:
        if len(custom.listed) == 1 and names_one(challenge, custom.of):
            (listed,) = custom.listed
            said = tuple(p for p in custom.said if not set(p) <= wrong)
            out[listed] = (*out.get(listed, ()), *said)
    return {
        listed: tuple(sorted(dict.fromkeys(said), key=lambda p: -len(p)))
        for listed, said in out.items()
    }


@lru_cache(maxsize=8192)
def whole_answers(answer: Phrase, challenge: Phrase, tables: Tables) -> tuple[Phrase, ...]:
    """Return what crews say to ``challenge`` in place of the whole ``answer``."""
    return tuple(
        said
        for custom in tables.usage.customs
        if custom.listed == answer and len(answer) > 1 and names_one(challenge, custom.of)
        for said in custom.said
    )


@lru_cache(maxsize=4096)
def names_of(challenge: Phrase, tables: Tables) -> tuple[Phrase, ...]:
    """Return other names of the thing challenged, longest first."""
    found = (
        name
        for of, names in tables.usage.names
        if any(challenge[i : i + len(of)] == of for i in range(len(challenge)))
        for name in names
    )
    return tuple(sorted(dict.fromkeys(found), key=lambda p: -len(p)))


def called_length(tokens: tuple[Token, ...], i: int, challenge: Phrase, tables: Tables) -> int:
    """Return the length of another name of the thing challenged at ``i`` (0: none)."""
    for name in names_of(challenge, tables):
        if spoken_at(tokens, i, name):
            return len(name)
    return 0


def spoken_at(tokens: tuple[Token, ...], i: int, phrase: Phrase) -> bool:
    """True when ``phrase`` is said at ``i`` without a pause."""
    end = i + len(phrase)
    if end > len(tokens) or any(t.pause for t in tokens[i + 1 : end]):
        return False
    return all(t.text == word for t, word in zip(tokens[i:end], phrase, strict=True))


def addition_applies(addition: Addition, words: frozenset[str], challenge: Phrase) -> bool:
    """True when ``addition`` is allowed beside an answer of ``words`` to this challenge."""
    if addition.beside and not addition.beside & words:
        return False
    if not addition.beside and set(addition.words) & set(challenge):
        return False
    return not addition.of or not challenge or names_one(challenge, addition.of)
