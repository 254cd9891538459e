"""Answers that say "done" without naming a state."""

from __future__ import annotations

from callout.core.judging.pattern import Pattern
from callout.core.language.sequence import Number
from callout.core.language.tables import Tables
from callout.core.language.words import Token, phrase_at


def says_no_state(pattern: Pattern, tables: Tables) -> bool:
    """True for "checked", "set", "as required": an answer without a state or value."""
    if any(isinstance(e, Number) for e in pattern.listed):
        return False
    tokens = tuple(Token(e.text) for e in pattern.listed if not isinstance(e, Number))
    i = 0
    while i < len(tokens):
        found = phrase_at(tokens, i, tables.bare) or phrase_at(tokens, i, tables.as_required)
        if found is None:
            return False
        i += found[0]
    return True
