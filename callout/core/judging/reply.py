"""A reply prepared for matching: what may be ignored where, and which numbers it contains."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from callout.core.judging.pattern import SOME_NUMBER
from callout.core.judging.runs import WordRun, number_runs
from callout.core.language.tables import Phrase, Tables
from callout.core.language.usage import called_length, customary_sayings
from callout.core.language.words import Token, phrase_at


@dataclass(frozen=True, slots=True)
class ParsedReply:
    """A reply prepared for matching."""

    tokens: tuple[Token, ...]
    skips: tuple[int, ...]
    """For each token, how many tokens may be ignored there (0: none)."""
    echoes: tuple[int, ...]
    """For each token, how many tokens echo the challenge."""
    texts: frozenset[str]
    """The words said, and adjacent words joined into one ("cross feed": crossfeed)."""
    challenge: tuple[str, ...]
    asked: tuple[Token, ...]
    """The challenge's words as tokens."""
    runs: tuple[tuple[WordRun, ...], ...]
    """For each token, the numbers that start there, longest first."""
    contrasts: tuple[frozenset[str], ...]
    """The checklist's own sets of mutually exclusive words."""
    wrong: frozenset[str]
    """Words of the replies that the list names as wrong and no right reply contains."""
    customs: Mapping[str, tuple[Phrase, ...]]
    """Listed word -> what crews say instead of it to this challenge."""
    covers: frozenset[str]
    """Listed words that a spoken word may stand for."""
    tables: Tables


def prepare_reply(
    tokens: tuple[Token, ...],
    challenge: tuple[Token, ...],
    tables: Tables,
    contrasts: tuple[frozenset[str], ...] = (),
    wrong: frozenset[str] = frozenset(),
) -> ParsedReply:
    """Prepare a reply once: what may be ignored where."""
    skips = tuple(_skip_length(tokens, i, tables) for i in range(len(tokens)))
    named = tuple(t.text for t in challenge)
    echoes = tuple(_echo_length(tokens, i, named, tables) for i in range(len(tokens)))
    said = [t.text for t in tokens]
    texts = frozenset(said).union(a + b for a, b in pairwise(said))
    runs = tuple(
        tuple(number_runs(tokens, i, tables)) if _may_begin(tokens, i) else ()
        for i in range(len(tokens))
    )
    customs = customary_sayings(named, wrong, tables)
    covers = frozenset(
        listed for listed, phrases in customs.items() if any(p[0] in texts for p in phrases)
    ).union(*(tables.stronger.get(text, ()) for text in said))
    if "0" in covers:
        covers |= {SOME_NUMBER}
    if "full" in texts or "fully" in texts:
        covers |= {"full", "fully"}
    return ParsedReply(
        tokens,
        skips,
        echoes,
        texts,
        named,
        challenge,
        runs,
        contrasts,
        wrong,
        customs,
        covers,
        tables,
    )


def _may_begin(tokens: tuple[Token, ...], i: int) -> bool:
    return tokens[i].piece is not None or tokens[i].text == "a"


def _skip_length(tokens: tuple[Token, ...], i: int, tables: Tables) -> int:
    found = phrase_at(tokens, i, tables.skip_phrases)
    if found:
        return found[0]
    if tokens[i].piece is not None and _beside_a_digit(tokens, i):
        return 0  # "oh" next to a digit is a zero, not a sigh
    return 1 if tokens[i].text in tables.skip_words else 0


def _beside_a_digit(tokens: tuple[Token, ...], i: int) -> bool:
    following = tokens[i + 1] if i + 1 < len(tokens) else None
    after = following is not None and following.piece is not None and not following.pause
    return after or (i > 0 and tokens[i - 1].piece is not None)


def _echo_length(
    tokens: tuple[Token, ...], i: int, challenge: tuple[str, ...], tables: Tables
) -> int:
    """Return the length of the run at ``i`` that repeats words of the challenge in their order.

    It must contain a word that is not a state, side or number, and may not name one side of two.
    """
    at, n = 0, 0
    best = 0
    while i + n < len(tokens):
        text = tokens[i + n].text
        if text in challenge[at:]:
            at = challenge.index(text, at) + 1
            n += 1
            run = tuple(t.text for t in tokens[i : i + n])
            if echo_allowed(run, challenge, tables):
                best = n
        elif n and text in tables.skip_words:
            n += 1
        else:
            break
    return best or called_length(tokens, i, challenge, tables)


def echo_allowed(run: tuple[str, ...], challenge: tuple[str, ...], tables: Tables) -> bool:
    """True when ``run`` names the thing challenged, and not one side of two."""
    sides = tables.sides & set(challenge)
    if len(sides) > 1 and sides & set(run) and not sides <= set(run):
        return False
    return any(names_a_thing(w, tables) for w in run)


def names_a_thing(word: str, tables: Tables) -> bool:
    """True for a word that is not a state, side, number, negation or grammar word."""
    return not (
        word in tables.sides
        or word in tables.opposites
        or word in tables.pieces
        or word in tables.negations
        or word in tables.skip_words
        or word in tables.beside
    )
