"""Phrases indexed by their first word."""

from __future__ import annotations

from collections.abc import Iterable

from callout.core.language.tables import Phrase, PhraseIndex


def index_phrases(pairs: Iterable[tuple[Phrase, Phrase]]) -> PhraseIndex:
    """Return phrases by their first word, longest first."""
    index: dict[str, list[tuple[Phrase, Phrase]]] = {}
    for phrase, meaning in pairs:
        if phrase:
            index.setdefault(phrase[0], []).append((phrase, meaning))
    return {w: tuple(sorted(ps, key=lambda p: -len(p[0]))) for w, ps in index.items()}


def names_one(words: Phrase, index: PhraseIndex) -> bool:
    """True when ``words`` contain a phrase of ``index``."""
    for i, word in enumerate(words):
        if any(words[i : i + len(phrase)] == phrase for phrase, _ in index.get(word, ())):
            return True
    return False
