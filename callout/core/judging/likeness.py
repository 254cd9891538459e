"""Which tokens say a listed word."""

from __future__ import annotations

from rapidfuzz.distance import OSA

from callout.core.judging.reply import ParsedReply
from callout.core.language.tables import Tables
from callout.core.language.usage import spoken_at
from callout.core.language.words import Token

SHORTEST_FUZZY = 9
"""Letters; shorter words must be said exactly as listed."""


def word_length(tokens: tuple[Token, ...], i: int, word: str, reply: ParsedReply) -> int:
    """Return how many tokens at ``i`` say ``word`` (0: none)."""
    text = tokens[i].text
    for phrase in reply.customs.get(word, ()):
        if spoken_at(tokens, i, phrase):
            return len(phrase)
    if word in reply.tables.stronger.get(text, ()):
        return 1
    if text == word or reply.tables.alphabet.get(text) == word:
        return 1
    if i + 1 < len(tokens) and len(text) < len(word) and text + tokens[i + 1].text == word:
        return 2
    if any(text in group or word in group for group in reply.contrasts):
        return 0
    return 1 if words_alike(text, word, reply.tables) else 0


def words_alike(said: str, listed: str, tables: Tables) -> bool:
    """True for a slip in a long word that is in no table; never for states, sides or numbers."""
    if len(listed) < SHORTEST_FUZZY or said in tables.known or listed in tables.known:
        return False
    if (said[0], said[-1]) != (listed[0], listed[-1]):
        return False
    if _with_prefix(said, tables) != _with_prefix(listed, tables):
        return False
    return bool(OSA.distance(said, listed, score_cutoff=1) <= 1)


def _with_prefix(word: str, tables: Tables) -> str:
    return next((p for p in tables.prefixes if word.startswith(p)), "")
