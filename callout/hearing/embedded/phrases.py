"""Candidates made ready to be scored: tokens, pronunciations, level on noise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from callout.core.model.candidates import Candidate
from callout.hearing.embedded.evidence import WORST_PHONES, PhraseScore, adjusted
from callout.hearing.embedded.lexicon import Lexicon, Phones
from callout.hearing.embedded.scoring import FLOOR, Scores, Tokens
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.written import variants

UNKNOWN_SOUND = 4.0
"""How far below the best reading a phrase stands whose pronunciation is not known."""


@dataclass(slots=True)
class Phrase:
    """One candidate."""

    candidate: Candidate
    spellings: dict[Tokens, str]
    sounds: tuple[Phones, ...]
    noise: float = FLOOR
    """Its decoder score on mere noise."""


def prepare(candidate: Candidate, tokenizer: Tokenizer, lexicon: Lexicon) -> Phrase:
    """Return the candidate with every way to write and to pronounce it."""
    spellings: dict[Tokens, str] = {}
    for form in candidate.forms:
        for text in variants(form):
            if (tokens := tokens_of(text, tokenizer)) is not None:
                spellings.setdefault(tokens, text)
    sounds = dict.fromkeys(s for form in candidate.forms for s in lexicon.phrase(form))
    return Phrase(candidate, spellings, tuple(sounds))


def tokens_of(text: str, tokenizer: Tokenizer) -> Tokens | None:
    """Return the tokens of ``text``, or None if it has a character without one."""
    try:
        return tokenizer.encode(text)
    except ValueError:
        return None


def decoder_score(phrase: Phrase, scores: Scores) -> float:
    """Return the log-likelihood summed over ways of writing."""
    return float(np.logaddexp.reduce([scores.phrases[t] for t in phrase.spellings]))


def weigh(phrase: Phrase, scores: Scores, heard: dict[Phones, float], best: float) -> PhraseScore:
    """Return the evidence on one phrase.

    heard: score of each pronunciation; best: that of the reading without candidates.
    """
    raw = decoder_score(phrase, scores)
    known = [heard[s] for s in phrase.sounds]
    phones = max(known) if known else best - UNKNOWN_SOUND
    return PhraseScore(
        phrase.candidate.text,
        raw,
        adjusted(raw, phrase.noise),
        max(phones, WORST_PHONES),
        len(phrase.sounds[0]) if phrase.sounds else 4,
    )
