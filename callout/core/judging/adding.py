"""What crews add to a right answer: words that agree with it, and grammar around it."""

from __future__ import annotations

from callout.core.judging.pattern import Pattern
from callout.core.judging.reply import ParsedReply
from callout.core.language.tables import Phrase
from callout.core.language.usage import addition_applies, spoken_at
from callout.core.language.words import Token

_SAYINGS = frozenset({"on", "off", "up", "down", "in", "out", "left", "right"})
"""Words that form idioms with a verb or a subject ("we're off", "on normally")."""
_IRREGULAR = frozenset(
    {"set", "given", "shut", "done", "held", "shed", "read", "cut", "put"}
    | {"told", "sent", "made", "chosen", "begun", "seen", "heard", "drawn"}
)
_DONE = ("ed",)


def addition_length(reply: ParsedReply, pattern: Pattern, contrary: frozenset[str], i: int) -> int:
    """Return the length of an addition at ``i`` that agrees with the answer (0: none)."""
    for addition in reply.tables.usage.additions.get(reply.tokens[i].text, ()):
        words = addition.words
        if not spoken_at(reply.tokens, i, words) or _speaks_against(words, contrary, reply):
            continue
        end = i + len(words)
        if addition.last and not (reply.tokens[i].pause and end == len(reply.tokens)):
            continue
        if _makes_a_saying(reply.tokens, end):
            continue
        if pattern.values and any(t.piece for t in reply.tokens[i : i + len(words)]):
            continue
        if addition_applies(addition, pattern.words, reply.challenge):
            return len(words)
    return 0


def _speaks_against(words: Phrase, contrary: frozenset[str], reply: ParsedReply) -> bool:
    """True for words that contradict the answer; "no red" does not contradict "three green"."""
    if words[0] == "no":
        return "no" in reply.wrong
    return bool(contrary & set(words)) or set(words) <= reply.wrong


def _makes_a_saying(tokens: tuple[Token, ...], end: int) -> bool:
    """ "Turned out", "locked up": an idiom, not the answer plus an addition."""
    return end < len(tokens) and tokens[end].text in _SAYINGS and not tokens[end].pause


def is_manner(reply: ParsedReply, i: int) -> bool:
    """True for "normally" in "running normally": right after a state that forms no idiom."""
    if i == 0:
        return False
    text, usage = reply.tokens[i].text, reply.tables.usage
    if text in usage.nouns_after:
        before = reply.tokens[i - 1].text
        return not reply.tokens[i].pause and before not in reply.tables.skip_words
    saying = reply.tokens[i - 1].text in _SAYINGS and not _is_doing(reply.tokens, i - 2)
    return text in usage.manner and not saying


def _is_doing(tokens: tuple[Token, ...], i: int) -> bool:
    """ "Running down": here "down" belongs to the verb."""
    return i >= 0 and tokens[i].text.endswith("ing")


def state_follows(reply: ParsedReply, pattern: Pattern, i: int) -> int:
    """Return the length of grammar words that only lead to a state of the answer (0: none)."""
    text = reply.tokens[i].text
    if text in ("in", "on"):
        return lead_length(reply, pattern, i)
    if text in ("we", "i") and _texts_at(reply.tokens, i + 1, ("are", "am")):
        return 2 if _is_adjective(reply.tokens, i + 2, pattern) else 0
    if text in ("has", "have") and _texts_at(reply.tokens, i + 1, ("been",)):
        return 2 if _is_participle(reply.tokens, i + 2, pattern) else 0
    if text == "been":
        return int(_is_participle(reply.tokens, i + 1, pattern))
    if text in reply.tables.usage.manner_before:
        return int(_is_adjective(reply.tokens, i + 1, pattern))
    return _generic_noun(reply, i)


def lead_length(reply: ParsedReply, pattern: Pattern, i: int) -> int:
    """Return the length of "in" or "on the" before a state that may follow it (0: none)."""
    tables, text = reply.tables, reply.tokens[i].text
    if text not in ("in", "on") or text in pattern.words:
        return 0
    may = tables.usage.after_in if text == "in" else tables.usage.after_on
    at = i + 1
    while at < len(reply.tokens) and reply.tokens[at].text in ("the", "a"):
        at += 1
    if at >= len(reply.tokens) or reply.tokens[at].pause:
        return 0
    if text == "on" and _texts_at(reply.tokens, at, ("both",)) and not reply.tokens[i].pause:
        return at - i
    if text == "on" and pattern.values and not pattern.words and _names_number(reply, at):
        return at - i
    word = reply.tokens[at].text
    due = word in pattern.words or any(word == p[0] for p in _pattern_words(reply, pattern))
    return at - i if due and word in may else 0


def _names_number(reply: ParsedReply, at: int) -> bool:
    token = reply.tokens[at]
    return (token.piece is not None and not token.piece.soft) or token.text in reply.tables.labels


def _pattern_words(reply: ParsedReply, pattern: Pattern) -> tuple[tuple[str, ...], ...]:
    return tuple(p for w in pattern.words for p in reply.customs.get(w, ()))


def _texts_at(tokens: tuple[Token, ...], i: int, texts: tuple[str, ...]) -> bool:
    return i < len(tokens) and tokens[i].text in texts


def _is_adjective(tokens: tuple[Token, ...], i: int, pattern: Pattern) -> bool:
    return i < len(tokens) and tokens[i].text in pattern.words - _SAYINGS


def _is_participle(tokens: tuple[Token, ...], i: int, pattern: Pattern) -> bool:
    """True if an expected participle follows ("removed"), not just a state ("on")."""
    if i >= len(tokens) or tokens[i].text not in pattern.words:
        return False
    return tokens[i].text in _IRREGULAR or tokens[i].text.endswith(_DONE)


def _generic_noun(reply: ParsedReply, i: int) -> int:
    """ "The lever is down": a noun that stands for whatever was challenged."""
    tokens = reply.tokens
    if tokens[i].text not in reply.tables.usage.generic or not reply.challenge:
        return 0
    if i and (reply.echoes[i - 1] or tokens[i - 1].text in ("the", "both", "all")):
        return 1
    if i + 1 >= len(tokens) or tokens[i + 1].pause or tokens[i].text == "switch":
        return int(_texts_at(tokens, i + 1, ("is", "are", "in")))
    return int(i == 0 or bool(reply.skips[i - 1]))
