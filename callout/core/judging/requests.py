"""Orders and agreement: replies that ask for a state or approve of one, and report nothing."""

from __future__ import annotations

from callout.core.judging.pattern import Pattern
from callout.core.language.tables import Phrase, Tables
from callout.core.language.usage import spoken_at
from callout.core.language.words import Token

_TAKES_BACK = (("make", "that"),)
"""Corrections that look like orders ("off, make that on")."""


def is_order(raw: tuple[Token, ...], tables: Tables) -> bool:
    """True for an order among the words as said: "set it", "open the door please"."""
    pleading = any(spoken_at(raw, i, ("please", "now")) for i in range(len(raw)))
    return pleading or any(_order_at(raw, i, tables) for i in range(len(raw)))


def _order_at(raw: tuple[Token, ...], i: int, tables: Tables) -> bool:
    table = tables.requests
    if raw[i].text not in table.verbs:
        return False
    if i and any(spoken_at(raw, i, phrase) for phrase in _TAKES_BACK):
        return False
    begins = _clause_begins(raw, i, tables)
    if begins and raw[i].text in table.switches and any(t.text == "please" for t in raw):
        return True
    if i + 1 >= len(raw) or raw[i + 1].pause:
        return False
    following = raw[i + 1].text
    if begins and following in table.objects:
        return True
    if begins and raw[i].text in table.switches and following in table.wholes:
        return True
    exempt = i > 0 and raw[i - 1].text in table.exempt
    return following in table.pronouns and not exempt


def _clause_begins(raw: tuple[Token, ...], i: int, tables: Tables) -> bool:
    """True at the start of a clause: only courtesy and grammar words precede it."""
    for before in range(i, 0, -1):
        if raw[before].pause:
            return True
        text = raw[before - 1].text
        if text not in tables.skip_words and text not in tables.hesitations:
            return False
    return True


def only_agrees(raw: tuple[Token, ...], accepted: tuple[Pattern, ...], tables: Tables) -> bool:
    """True when the answer is part of a saying that only agrees, or means something else."""
    for pattern in accepted:
        if len(pattern.listed) != 1 or not pattern.words:
            continue
        (word,) = pattern.words
        sayings = tables.requests.agreement.get(word)
        if sayings and _said_in(raw, word, sayings):
            return True
    return False


def _said_in(raw: tuple[Token, ...], word: str, sayings: tuple[Phrase, ...]) -> bool:
    inside: set[int] = set()
    for i in range(len(raw)):
        for saying in sayings:
            if tuple(t.text for t in raw[i : i + len(saying)]) == saying:
                inside.update(range(i, i + len(saying)))
    return any(raw[i].text == word for i in inside)
