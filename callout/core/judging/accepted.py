"""What may be said to an item: the listed answers, and what crews say in their place."""

from __future__ import annotations

from collections.abc import Mapping

from callout.core.judging.pattern import Pattern, compile_answer
from callout.core.language.tables import Tables
from callout.core.language.usage import whole_answers
from callout.core.language.words import words_of as to_words
from callout.core.model.expectation import Answer, Expectation, Words


def patterns_for(expectation: Expectation, tables: Tables) -> tuple[Pattern, ...]:
    """Return the patterns of the accepted answers, then what crews say instead of a whole one."""
    listed = tuple(compile_answer(a, tables) for a in expectation.accepted)
    challenge = to_words(expectation.challenge, tables) if expectation.challenge else ()
    if not challenge:
        return listed
    wrong = {to_words(w.answer.text, tables) for w in expectation.wrong}
    instead = (
        compile_answer(Answer((Words(" ".join(said)),), pattern.answer.text), tables)
        for pattern in listed
        if not pattern.values
        for said in whole_answers(to_words(pattern.answer.text, tables), challenge, tables)
        if said not in wrong
    )
    return (*listed, *instead)


def own_synonyms(expectation: Expectation) -> Mapping[str, str]:
    """Return a list's own synonyms, except those that would make a wrong reply right.

    One word of a contrast set never stands for another, nor a reply named as wrong for a right one.
    """
    if not expectation.synonyms:
        return expectation.synonyms
    wrong = {w.answer.text.casefold() for w in expectation.wrong}
    sets = [{w.casefold() for w in group} for group in expectation.contrasts]
    return {
        said: listed
        for said, listed in expectation.synonyms.items()
        if said.casefold() not in wrong
        and not any({said.casefold(), listed.casefold()} <= group for group in sets)
    }
