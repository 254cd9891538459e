"""Prepares candidates for scoring: tokens, pronunciations, level on noise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from callout.core.model.candidates import Candidate
from callout.hearing.embedded.evidence import WORST_PHONES, WORST_SOUND, PhraseScore, noise_adjusted
from callout.hearing.embedded.lexicon import Lexicon, Phones
from callout.hearing.embedded.phone_probe import PhoneProbe, best_path, phrase_scores
from callout.hearing.embedded.scoring import FLOOR, Scores, Tokens
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.weights import Floats
from callout.hearing.embedded.written import written_variants
from callout.ports.hearing import SAMPLE_RATE, Samples

UNKNOWN_SOUND = 4.0
"""How far below the best reading a phrase with unknown pronunciation is placed."""


@dataclass(slots=True)
class Phrase:
    """One candidate."""

    candidate: Candidate
    spellings: dict[Tokens, str]
    sounds: tuple[Phones, ...]
    noise: float = FLOOR
    """Its decoder score on mere noise."""


def prepare_phrase(candidate: Candidate, tokenizer: Tokenizer, lexicon: Lexicon) -> Phrase:
    """Return the candidate with every way to write and to pronounce it."""
    spellings: dict[Tokens, str] = {}
    for form in candidate.forms:
        for text in written_variants(form):
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


@dataclass(frozen=True, slots=True)
class Spelled:
    """The score of each pronunciation in one reading of phones."""

    scores: dict[Phones, float]
    """Natural log of the probability, by pronunciation."""
    best: float
    """Score of the reading without candidates."""

    def of(self, phrase: Phrase) -> float:
        """Return the score of the phrase's best pronunciation."""
        known = [self.scores[s] for s in phrase.sounds]
        return max(known) if known else self.best - UNKNOWN_SOUND


def spelled_scores(frames: Floats, sounds: Sequence[Phones]) -> tuple[Spelled, tuple[int, ...]]:
    """Return the score of each pronunciation in a reading, and what it reads without them."""
    path = best_path(frames) if len(frames) else ()
    *numbers, best = phrase_scores(frames, sounds, besides=[path or (1,)]).tolist()
    return Spelled(dict(zip(sounds, numbers, strict=True)), best), path


@dataclass(frozen=True, slots=True)
class Pronounced:
    """What the two readings of phones give for each way to pronounce the phrases."""

    probe: PhoneProbe
    """What read the network's frames."""
    sounds: tuple[Phones, ...]
    """The pronunciations that were scored."""
    read: Spelled
    """Their scores in the network's frames ..."""
    path: tuple[int, ...]
    """... and what is read there without them."""
    sounded: Spelled
    """Their scores by the acoustic model ..."""
    phones: tuple[int, ...]
    """... and what that reads without them."""

    @classmethod
    def of(
        cls, probe: PhoneProbe, frames: Floats, heard: Floats, sounds: tuple[Phones, ...]
    ) -> Pronounced:
        """Return the scores for the network's frames and the acoustic model's reading."""
        sounded, phones = spelled_scores(heard, sounds)
        read, path = spelled_scores(probe.read(frames), sounds)
        return cls(probe, sounds, read, path, sounded, phones)


def weigh_phrase(phrase: Phrase, scores: Scores, read: Spelled, sounded: Spelled) -> PhraseScore:
    """Return the evidence on one phrase.

    read: its pronunciations in the phone reading; sounded: by the acoustic model.
    """
    raw = decoder_score(phrase, scores)
    return PhraseScore(
        phrase.candidate.text,
        raw,
        noise_adjusted(raw, phrase.noise),
        max(read.of(phrase), WORST_PHONES),
        len(phrase.sounds[0]) if phrase.sounds else 4,
        max(sounded.of(phrase), WORST_SOUND),
    )


def room_noise(seed: int) -> Samples:
    """Return half a second of noise, white or falling, for weighing phrases."""
    rng = np.random.default_rng(seed)
    white = rng.normal(0.0, 1.0, SAMPLE_RATE // 2)
    brown = np.cumsum(white) if seed % 2 else white
    brown = brown - brown.mean()
    scaled: Samples = (brown / np.abs(brown).max() * 8000).astype(np.int16)
    return scaled
