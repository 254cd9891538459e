"""Words spelled letter by letter: "oscar foxtrot foxtrot" is "off"."""

from __future__ import annotations

from functools import lru_cache

from callout.core.language.tables import Tables
from callout.core.language.words import Token, normalise_text


@lru_cache(maxsize=4)
def _letter_names(tables: Tables) -> dict[str, str]:
    """Spelling word or letter -> letter."""
    return {w: c for c, word in tables.alphabet.items() for w in (c, word)}


def spelled_word(tokens: tuple[Token, ...], tables: Tables) -> tuple[Token, ...]:
    """Return the word that ``tokens`` spell, or nothing if they are not just letters."""
    letters = _letter_names(tables)
    said = [t.text for t in tokens if t.text in letters or t.text not in tables.skip_words]
    if len(said) < 2 or any(text not in letters for text in said):
        return ()
    return normalise_text("".join(letters[text] for text in said), tables).tokens
