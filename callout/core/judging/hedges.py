"""Guesses, promises and questions: replies that are not answers."""

from __future__ import annotations

from callout.core.language.tables import Tables
from callout.core.language.words import Lexed, Token, phrase_at


def is_question(lexed: Lexed, tokens: tuple[Token, ...], tables: Tables) -> bool:
    """True for a question: by its question mark, its first words, or a tag at the end."""
    if lexed.question:
        return True
    manners = (tables.hesitations | tables.courtesies) - tables.question_subjects
    content = tuple(t for t in tokens if t.text not in manners)
    if not content:
        return False
    if content[0].text in tables.question_words:
        return True
    if _asks_about(content, tables):
        return True
    if tokens[-1].text in tables.question_endings and len(tokens) > 1:
        return True
    return any(phrase_at(content, i, tables.question_tags) for i in range(1, len(content)))


def _asks_about(content: tuple[Token, ...], tables: Tables) -> bool:
    if len(content) < 2 or content[0].text not in tables.question_auxiliaries:
        return False
    second = content[1].text
    if second in tables.question_subjects:
        return True
    if second == "been":
        return False  # "has been removed"
    stated = tables.opposites.keys() | tables.beside | tables.negations | tables.skip_words
    return second not in stated and content[1].piece is None


def hedge_words(tokens: tuple[Token, ...], keep: frozenset[str], tables: Tables) -> str:
    """Return the first words that make the reply a hedge, or nothing."""
    for i in range(len(tokens)):
        found = phrase_at(tokens, i, tables.hedges)
        if found:
            said = [t.text for t in tokens[i : i + found[0]]]
            if not keep >= set(said):
                return " ".join(said)
    return ""
