"""Self-correction: a reply is judged on what follows the last word that takes something back."""

from __future__ import annotations

from callout.core.judging.tables import Tables
from callout.core.judging.words import Token, phrase_at


def corrected(tokens: tuple[Token, ...], keep: frozenset[str], tables: Tables) -> tuple[Token, ...]:
    """Return the tokens that count; none when everything was taken back.

    ``keep`` are words of the listed answers; a phrase made of them corrects nothing.
    """
    cut = i = 0
    while i < len(tokens):
        said = any(t.text not in tables.skip_words for t in tokens[cut:i])
        length = _marker(tokens, i, said or cut > 0, tables)
        if length and not keep >= {t.text for t in tokens[i : i + length]}:
            i += length
            cut = i
        else:
            i += 1
    return tokens[cut:]


def _marker(tokens: tuple[Token, ...], i: int, said: bool, tables: Tables) -> int:
    """Return the length of the words at ``i`` that take something back (0: none)."""
    found = phrase_at(tokens, i, tables.corrections)
    if found is None and said:
        found = phrase_at(tokens, i, tables.later_corrections)
    return found[0] if found else 0
