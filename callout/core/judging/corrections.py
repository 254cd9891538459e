"""Self-correction: a reply is judged on what follows the last word that takes something back."""

from __future__ import annotations

from callout.core.judging.tables import Tables
from callout.core.judging.words import Token, phrase_at


def corrected(
    tokens: tuple[Token, ...], keep: frozenset[str], tables: Tables
) -> tuple[tuple[Token, ...], bool]:
    """Return (tokens that count, whether something was taken back).

    ``keep`` are words of the listed answers; a phrase made of them corrects nothing.
    """
    cut = 0
    taken_back = False
    i = 0
    while i < len(tokens):
        length = _marker(tokens, i, cut, tables)
        if length and not keep >= {t.text for t in tokens[i : i + length]}:
            taken_back = (
                taken_back or _something(tokens[cut:i], tables) or _cancels(tokens, i, tables)
            )
            i += length
            cut = i
        else:
            i += 1
    return tokens[cut:], taken_back


def _marker(tokens: tuple[Token, ...], i: int, cut: int, tables: Tables) -> int:
    for index in (tables.corrections, tables.cancellations):
        found = phrase_at(tokens, i, index)
        if found:
            return found[0]
    found = phrase_at(tokens, i, tables.later_corrections)
    if found and i + found[0] < len(tokens):
        return found[0]
    return 0


def _cancels(tokens: tuple[Token, ...], i: int, tables: Tables) -> bool:
    return phrase_at(tokens, i, tables.cancellations) is not None


def _something(tokens: tuple[Token, ...], tables: Tables) -> bool:
    return any(t.text not in tables.skip_words for t in tokens)
