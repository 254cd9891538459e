"""The phrases of one item, prepared once and cached."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from rapidfuzz.distance import Levenshtein

from callout.core.language.respelled import as_listed
from callout.core.model.candidates import Candidate, CandidateRole
from callout.hearing.embedded.evidence import PhraseScore, plain_words
from callout.hearing.embedded.lexicon import Lexicon, Phones
from callout.hearing.embedded.phrases import Phrase, decoder_score, prepare_phrase
from callout.hearing.embedded.scoring import Scores, Tokens
from callout.hearing.embedded.standing import lead_over
from callout.hearing.embedded.tokenizer import Tokenizer

OnNoise = Callable[[set[Tokens]], list[Scores]]
"""Scores token sequences on each of a few rooms without speech."""

_Key = tuple[str, tuple[str, ...]]
"""What is reported, and how it may be said."""
LONG, APART = 6, 3
"""Phones of a phrase, and of its difference from all others, from which it is rarely mistaken."""
_REFUSED = frozenset({CandidateRole.WRONG, CandidateRole.CONTRAST})
_AGAINST = {
    CandidateRole.ACCEPTED: _REFUSED,
    **dict.fromkeys(_REFUSED, frozenset({CandidateRole.ACCEPTED})),
}


@dataclass(frozen=True, slots=True)
class PhraseSet:
    """The phrases to tell apart in one utterance."""

    phrases: Mapping[str, Phrase]
    """By the reported text."""
    written: Mapping[str, set[str]]
    """The ways each may be written, in lower case and without punctuation."""

    @classmethod
    def of(cls, phrases: Iterable[Phrase]) -> PhraseSet:
        """Return the phrases that the network has tokens for."""
        usable = {p.candidate.text: p for p in phrases if p.spellings}
        written = {t: {plain_words(s) for s in p.spellings.values()} for t, p in usable.items()}
        return cls(usable, written)

    @property
    def tokens(self) -> set[Tokens]:
        """Every way to write one of them."""
        return {t for p in self.phrases.values() for t in p.spellings}

    @property
    def groups(self) -> list[Collection[Tokens]]:
        """The ways to write each of them."""
        return [p.spellings.keys() for p in self.phrases.values()]

    @property
    def sounds(self) -> tuple[Phones, ...]:
        """Every way to pronounce one of them."""
        return tuple(dict.fromkeys(s for p in self.phrases.values() for s in p.sounds))

    def has_more(self, text: str, transcript: str) -> bool:
        """Return True for an answer in a free transcript with more words, which may change it."""
        if self.phrases[text].candidate.role is not CandidateRole.ACCEPTED:
            return False
        ways, heard = self.written[text], as_listed(plain_words(transcript))
        return heard not in ways and any(_lies_in_order(way.split(), heard) for way in ways)

    def contraries(self, text: str) -> frozenset[str]:
        """Return the phrases it must on no account be mistaken for: wrong replies and contrary
        states for an answer, the answers for one of those.
        """
        return contraries_of(text, {t: p.candidate.role for t, p in self.phrases.items()})

    def lead(self, scores: Sequence[PhraseScore]) -> float:
        """Return how far the best stands above all its contraries; infinite for a number, which
        a single digit tells from the next.
        """
        best = scores[0].text
        if any(sign.isdigit() for sign in best):
            return math.inf
        return lead_over({s.text: s.standing for s in scores}, best, self.contraries(best))

    def lies_within(self, text: str) -> bool:
        """Return True if a phrase with another meaning holds all its sounds: "unlocked" holds
        "locked".
        """
        phrase = self.phrases[text]
        return any(
            _holds(other, mine)
            for rival in self.phrases.values()
            if _differs_in_meaning(phrase.candidate, rival.candidate)
            for mine in phrase.sounds
            for other in rival.sounds
        )

    def stands_apart(self, text: str) -> bool:
        """Return True for a long phrase that sounds like none with another meaning."""
        phrase = self.phrases[text]
        if min((len(sound) for sound in phrase.sounds), default=0) < LONG:
            return False
        return all(
            Levenshtein.distance(mine, other, score_cutoff=APART) >= APART
            for rival in self.phrases.values()
            if _differs_in_meaning(phrase.candidate, rival.candidate)
            for mine in phrase.sounds
            for other in rival.sounds
        )


def contraries_of(text: str, roles: Mapping[str, CandidateRole]) -> frozenset[str]:
    """Return the phrases with a role contrary to that of ``text``."""
    against = _AGAINST.get(roles[text], frozenset())
    return frozenset(other for other, role in roles.items() if role in against)


def _holds(longer: Phones, shorter: Phones) -> bool:
    size = len(shorter)
    return size < len(longer) and any(
        longer[at : at + size] == shorter for at in range(len(longer) - size + 1)
    )


def _differs_in_meaning(one: Candidate, other: Candidate) -> bool:
    accepted = one.role is other.role is CandidateRole.ACCEPTED
    return not accepted and one.text != other.text


def _lies_in_order(words: Sequence[str], heard: str) -> bool:
    """Return True if ``heard`` holds all the words in this order: "clear of not smoke"."""
    left = iter(heard.split())
    return bool(words) and all(word in left for word in words)


NOTHING = PhraseSet({}, {})


class PhraseBook:
    """Prepares candidates and measures how likely they are on mere noise."""

    def __init__(self, tokenizer: Tokenizer, lexicon: Lexicon, on_noise: OnNoise) -> None:
        self._tokenizer, self._lexicon, self._on_noise = tokenizer, lexicon, on_noise
        self._prepared: dict[_Key, Phrase] = {}
        self._levels: dict[_Key, float] = {}
        """Each phrase's own level on noise, once it was needed."""

    def open(self, candidates: Iterable[Candidate]) -> PhraseSet:
        """Return the phrases of ``candidates``; earlier preparations are reused.

        Their roles and levels on noise are this item's own, whatever was listened for before.
        """
        phrases = [self._phrase(candidate) for candidate in candidates]
        self._measure_noise([p for p in phrases if p.spellings])
        return PhraseSet.of(phrases)

    def _phrase(self, candidate: Candidate) -> Phrase:
        key = _key(candidate)
        if key not in self._prepared:
            self._prepared[key] = prepare_phrase(candidate, self._tokenizer, self._lexicon)
        return replace(self._prepared[key], candidate=candidate)

    def widened(
        self, known: PhraseSet, more: Sequence[Candidate]
    ) -> tuple[PhraseSet, list[Phrase]]:
        """Return ``known`` with ``more`` added, and what was added; its level on noise is unknown.

        Phrases of the same text are replaced; those that cannot be pronounced are left out.
        """
        made = [
            p for p in (prepare_phrase(c, self._tokenizer, self._lexicon) for c in more) if p.sounds
        ]
        if not _answers(made):
            return known, []
        return PhraseSet.of([*known.phrases.values(), *made]), made

    def share_level(self, made: Sequence[Phrase]) -> None:
        """Give fuller answers and their rivals, which are much alike, the answers' level on noise;
        it is not cached.
        """
        answers = _answers(made)
        rooms = self._on_noise({t for p in answers for t in p.spellings}) if answers else []
        level = max((_median(p, rooms) for p in answers), default=0.0)
        for phrase in made:
            phrase.noise = level

    def _measure_noise(self, phrases: Sequence[Phrase]) -> None:
        """Score phrases on mere noise; a near number shares the level of the expected one."""
        number = next((p for p in _answers(phrases) if p.candidate.values), None)
        sources = [p if number is None or not _is_other_number(p) else number for p in phrases]
        levels = self._levels_of(sources)
        for phrase, source in zip(phrases, sources, strict=True):
            phrase.noise = levels.get(_key(source.candidate), phrase.noise)

    def _levels_of(self, phrases: Sequence[Phrase]) -> Mapping[_Key, float]:
        keyed = {_key(p.candidate): p for p in phrases}
        fresh = {key: p for key, p in keyed.items() if key not in self._levels}
        if fresh and (rooms := self._on_noise({t for p in fresh.values() for t in p.spellings})):
            self._levels |= {key: _median(p, rooms) for key, p in fresh.items()}
        return self._levels


def _key(candidate: Candidate) -> _Key:
    return candidate.text, candidate.forms


def _is_other_number(phrase: Phrase) -> bool:
    return bool(phrase.candidate.values) and phrase.candidate.role is not CandidateRole.ACCEPTED


def _answers(phrases: Sequence[Phrase]) -> list[Phrase]:
    return [p for p in phrases if p.candidate.role is CandidateRole.ACCEPTED and p.spellings]


def _median(phrase: Phrase, rooms: Sequence[Scores]) -> float:
    return float(np.median([decoder_score(phrase, room) for room in rooms]))


def merged_scores(one: Scores, other: Scores) -> Scores:
    """Return the scores of both on one recording."""
    return replace(one, phrases={**other.phrases, **one.phrases})
