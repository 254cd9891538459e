"""What crews say before and after an answer: grammar, names of the thing, additions that agree."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from callout.core.language.tables import Tables
from callout.core.language.usage import addition_applies, names_of
from callout.core.language.words import words_of
from callout.core.model.expectation import Expectation

BEFORE = (
    "it is", "it's", "they are", "they're", "that is", "that's", "both", "all", "both are",
    "all of them", "yes", "and", "we have", "we've got", "we are", "been", "has been", "have been",
    "set", "set to", "switched", "switched to", "selected", "turned", "showing", "indicating",
    "checked", "confirmed", "verified", "in", "in the", "on", "on the", "now", "already",
)  # fmt: skip
"""Beginnings of a report (common practice)."""
AFTER = (
    "now", "set", "checked", "and checked", "confirmed", "verified", "both sides", "on both sides",
    "both", "for both", "already", "sir", "thanks",
)  # fmt: skip
"""Endings of a report (common practice)."""


@dataclass(frozen=True, slots=True)
class Around:
    """What may precede and follow an answer; the judge has the last word on each sentence."""

    before: tuple[str, ...]
    after: tuple[str, ...]


def surroundings_of(expectation: Expectation, tables: Tables) -> Around:
    """Return what crews say around the answers of one item."""
    said = frozenset(w for a in expectation.accepted for w in words_of(a.text, tables))
    return _around(said, expectation.challenge, tables)


@lru_cache(maxsize=256)
def _around(said: frozenset[str], challenge: str, tables: Tables) -> Around:
    usage = tables.usage
    added = list(_additions(said, words_of(challenge, tables), tables))
    before = (*BEFORE, *sorted(usage.manner_before), *_named(challenge, tables), *added)
    joined = (f"and {text}" for text in added)
    after = (*AFTER, *sorted(usage.nouns_after), *sorted(usage.manner), *added, *joined)
    return Around(tuple(dict.fromkeys(before)), tuple(dict.fromkeys(after)))


def _additions(said: frozenset[str], challenge: tuple[str, ...], tables: Tables) -> Iterator[str]:
    for group in tables.usage.additions.values():
        for addition in group:
            if not addition.last and addition_applies(addition, said, challenge):
                yield addition.said.lower()


def _named(challenge: str, tables: Tables) -> Iterator[str]:
    """Yield the thing challenged as it may begin a report ("gear", "the gear is")."""
    asked = " ".join(challenge.lower().split())
    if not asked or not asked.isascii():
        return
    names = (
        asked,
        asked.split()[-1],
        *map(" ".join, names_of(words_of(challenge, tables), tables)),
    )
    for name in dict.fromkeys(names):
        yield from (name, f"{name} is", f"{name} are", f"the {name} is", f"{name}'s")
