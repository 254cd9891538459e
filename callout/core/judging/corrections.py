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
        length = _marker(tokens, i, tables)
        if length and not keep >= {t.text for t in tokens[i : i + length]}:
            i += length
            cut = i
        else:
            i += 1
    return tokens[cut:]


def _marker(tokens: tuple[Token, ...], i: int, tables: Tables) -> int:
    for index in (tables.corrections, tables.cancellations):
        found = phrase_at(tokens, i, index)
        if found:
            return found[0]
    found = phrase_at(tokens, i, tables.later_corrections)
    if found and i + found[0] < len(tokens):
        return found[0]
    return 0
