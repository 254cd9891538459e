"""Removes the name of a control from words that contain it."""

from __future__ import annotations

from collections.abc import Iterable

from callout.core.model.commands import plain_words


def without_name(names: Iterable[str], words: str) -> str | None:
    """Return ``words`` without the first of ``names`` in them; None if they contain none."""
    tokens = words.split()
    flat = [(n, word) for n, token in enumerate(tokens) for word in plain_words(token)]
    said = [word for _, word in flat]
    for name in names:
        control = list(plain_words(name))
        for at in range(len(said) - len(control) + 1):
            if control and said[at : at + len(control)] == control:
                gone = {n for n, _ in flat[at : at + len(control)]}
                return " ".join(token for n, token in enumerate(tokens) if n not in gone)
    return None
