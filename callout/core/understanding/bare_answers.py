"""The ways to give an answer with nothing around it, and the wrong replies close to them."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.judging.contrast import (
    contrasting_replies,
    misheard_digit,
    near_values,
    opposites_of,
)
from callout.core.language.spoken import spoken_forms
from callout.core.language.tables import Tables
from callout.core.language.usage import customary_sayings, whole_answers
from callout.core.language.words import words_of
from callout.core.model.expectation import Answer, Expectation, Value, phrase

FORMS = 4
"""Number of ways to say one answer."""
NEAR = 2
"""The same for one that would be wrong."""
SHORTEST = 5
"""Letters; a shorter word cannot show what was done."""
Made = tuple[str, str, str]
"""Beginning, answer and ending of a sentence."""


def cores_of(expectation: Expectation, tables: Tables) -> tuple[str, ...]:
    """Return the ways to give each accepted answer, as listed and as crews call it."""
    asked = words_of(expectation.challenge, tables)
    out: dict[str, None] = {}
    for answer in expectation.accepted:
        out.update(dict.fromkeys(spoken_forms(answer, tables, FORMS)))
        values = tuple(p for p in answer.parts if isinstance(p, Value))
        if len(values) == 1 < len(answer.parts):
            out.update(dict.fromkeys(spoken_forms(Answer(values, answer.text), tables, FORMS)))
        elif not values:
            listed = words_of(answer.text, tables)
            out.update((" ".join(p), None) for p in whole_answers(listed, asked, tables))
            out.update((text, None) for text in _called(answer.text, asked, tables))
    return tuple(out)


def _called(text: str, asked: tuple[str, ...], tables: Tables) -> Iterator[str]:
    """Yield ``text`` with one word replaced by what crews say ("set" for a parking brake that is
    on).
    """
    said, custom = text.lower().split(), customary_sayings(asked, frozenset(), tables)
    for i, word in enumerate(said):
        key = words_of(word, tables)
        for other in custom.get(key[0], ()) if len(key) == 1 else ():
            yield " ".join((*said[:i], *other, *said[i + 1 :]))


def contraries_of(
    way: str, made: Made | None, expectation: Expectation, tables: Tables
) -> Iterator[str]:
    """Yield ``way`` with one state, digit or answer replaced by another."""
    said = way.split()
    for i, word in enumerate(said):
        for other in (*_opposites(word, expectation, tables), *misheard_digit(word)):
            yield " ".join((*said[:i], other, *said[i + 1 :]))
    if made is not None:
        first, _, last = made
        for core in _wrong_cores(expectation, tables):
            yield " ".join(part for part in (first, core, last) if part)


def slips_of(way: str) -> Iterator[str]:
    """Yield ``way`` negated ("not"), as an order, and as something still in progress."""
    said = way.split()
    yield from (" ".join((*said[:i], "not", *said[i:])) for i in range(len(said)))
    for i, word in enumerate(said):
        for other in _undone(word):
            yield " ".join((*said[:i], other, *said[i + 1 :]))


def _undone(word: str) -> tuple[str, ...]:
    """Return words confused with a report ("switched": "switch", "switch it", "switching")."""
    if not word.endswith("ed") or len(word) < SHORTEST:
        return ()
    stem = word[:-3] if word[-3] == word[-4] and word[-3] not in "ls" else word[:-2]
    return stem, word[:-1], f"{stem} it", f"{word[:-2]}ing"


def _opposites(word: str, expectation: Expectation, tables: Tables) -> tuple[str, ...]:
    key = words_of(word, tables)
    return opposites_of(key[0] if len(key) == 1 else word, tables, expectation.contrasts)


def _wrong_cores(expectation: Expectation, tables: Tables) -> Iterator[str]:
    for wrong in expectation.wrong:
        yield from spoken_forms(wrong.answer, tables, NEAR)
    for answer in expectation.accepted:
        for text in contrasting_replies(answer, tables, expectation.contrasts):
            yield from spoken_forms(phrase(text), tables, 1)
        for i, part in enumerate(answer.parts):
            for near in near_values(part) if isinstance(part, Value) else ():
                parts = (*answer.parts[:i], near, *answer.parts[i + 1 :])
                yield from spoken_forms(Answer(parts, ""), tables, NEAR)
