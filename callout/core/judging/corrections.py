"""Self-correction: a reply is judged by what follows the last word that takes something back."""

from __future__ import annotations

from callout.core.language.tables import Tables
from callout.core.language.usage import spoken_at
from callout.core.language.words import Token, phrase_at


def corrected_tokens(
    tokens: tuple[Token, ...], keep: frozenset[str], tables: Tables
) -> tuple[Token, ...]:
    """Return the tokens that count; none if everything was taken back.

    ``keep`` are words of the listed answers; a phrase made of them is not a correction.
    """
    cut = i = _delay_length(tokens, tables)
    while i < len(tokens):
        said = any(t.text not in tables.skip_words for t in tokens[cut:i])
        length = _marker_length(tokens, i, said or cut > 0, tables)
        length = length or (said and _takes_back(tokens, i, tables))
        if length and not keep >= {t.text for t in tokens[i : i + length]}:
            i += length
            cut = i
        else:
            i += 1
    return tokens[cut:]


def _takes_back(tokens: tuple[Token, ...], i: int, tables: Tables) -> int:
    """ "Right, no, left": "no" between states that exclude each other, or between pauses."""
    if tokens[i].text not in ("no", "negative") or i + 1 >= len(tokens):
        return 0
    before, after = tokens[i - 1], tokens[i + 1]
    if any(spoken_at(tokens, i, a.words) for a in tables.usage.additions.get("no", ())):
        return 0  # "three green, no red"
    excluded = after.text in tables.opposites.get(before.text, ())
    return int(excluded or (tokens[i].pause and after.pause))


def _delay_length(tokens: tuple[Token, ...], tables: Tables) -> int:
    """Return where the reply begins after "one moment," or similar."""
    i = 0
    while i < len(tokens) and tokens[i].text in tables.skip_words:
        i += 1
    found = phrase_at(tokens, i, tables.delays) if i < len(tokens) else None
    end = i + found[0] if found else 0
    return end if found and end < len(tokens) and tokens[end].pause else 0


def _marker_length(tokens: tuple[Token, ...], i: int, said: bool, tables: Tables) -> int:
    """Return the length of the words at ``i`` that take something back (0: none)."""
    found = phrase_at(tokens, i, tables.corrections)
    if found is None and said:
        found = phrase_at(tokens, i, tables.later_corrections)
    return found[0] if found else 0
