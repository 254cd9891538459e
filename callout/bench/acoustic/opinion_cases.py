"""The evidence on what was heard, and how a decision decides on it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from functools import cache, lru_cache

from callout.bench.acoustic.decision_report import Fused, HeardUnder, OpinionCase
from callout.bench.acoustic.numbers import is_number
from callout.bench.acoustic.takes import listened
from callout.bench.corpora import OPPOSITE, CorpusKind, CorpusRecording
from callout.core.model.candidates import Candidate
from callout.hearing.embedded.decision import shipped_decision
from callout.hearing.embedded.evidence import (
    NETWORK,
    PhraseScore,
    evidence_features,
    plain_words,
)
from callout.hearing.embedded.joint_decision import JointDecision, more_words
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.embedded.phrases import Phrase, prepare_phrase
from callout.hearing.embedded.standing import lead_over
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.weights import Weights

_SAME = NETWORK.index("same")
Ranking = Callable[[Sequence[PhraseScore]], tuple[PhraseScore, ...]]


def as_decided(hearings: Sequence[HeardUnder], decision: JointDecision) -> Fused:
    """Return each case as a decision fitted before decides on it."""
    cases = list(cases_of(hearings, decision.mix.ranked))
    known = {
        i: decision.confidence(decision.score(c.evidence))
        for i, c in enumerate(cases)
        if c.evidence
    }
    return decided(decision, cases, known)


def decided(decision: JointDecision, cases: list[OpinionCase], known: dict[int, float]) -> Fused:
    """known: for each case with evidence, the probability by all opinions together."""
    sure, chances = [False] * len(cases), [0.0] * len(cases)
    for at, chance in known.items():
        alone = decision.by_network(cases[at].evidence, 0.0)
        chances[at] = decision.confidence_of(chance, alone)
        heard = cases[at].hearing.reading.sound.phones != ()  # else as noises are read
        enough = decision.suffices(chance, alone, cases[at].more_words)
        agreed = cases[at].evidence[_SAME] > 0
        sure[at] = heard and enough and decision.leads_enough(cases[at].lead, agreed)
    return Fused(decision, cases, chances, sure)


def by_network(hearings: Sequence[HeardUnder]) -> tuple[list[OpinionCase], list[bool]]:
    """Return the cases, and which are sure, without the acoustic model."""
    cases, decision = list(cases_of(hearings, _by_combined)), shipped_decision()
    scores = [decision.score(c.evidence[: len(NETWORK)]) if c.evidence else -99.0 for c in cases]
    return cases, [decision.confidence(s) >= decision.threshold for s in scores]


def _by_combined(scores: Sequence[PhraseScore]) -> tuple[PhraseScore, ...]:
    return tuple(sorted(scores, key=lambda s: s.combined, reverse=True))


def cases_of(hearings: Sequence[HeardUnder], ranked: Ranking) -> Iterator[OpinionCase]:
    """Yield the leading candidate of each; for a reply also without its words."""
    for one in hearings:
        there = {c.text: c for c in listened(one.recording).candidates}
        for left_out in (False, True) if one.recording.kind is CorpusKind.REPLY else (False,):
            kept = [s for s in one.scores if not (left_out and s.text == one.recording.said)]
            order = ranked(kept)
            best, evidence, ways, lead = "", tuple[float, ...](), tuple[str, ...](), math.inf
            if order:
                best, ways = order[0].text, there[order[0].text].forms
                phrase = _prepared(there[best])
                spellings = tuple(phrase.spellings.values())
                evidence = evidence_features(order, spellings, phrase.sounds, one.reading)
                standings = {s.text: s.standing for s in order}
                lead = lead_over(standings, best, contraries(best, one.recording))
            more = more_words(plain_words(one.reading.text), ways)
            yield OpinionCase(one, left_out, best, evidence, more, lead)


def contraries(best: str, recording: CorpusRecording) -> Collection[str]:
    """Return what ``best`` must not be mistaken for; none for a number."""
    return {OPPOSITE[best]} if best in OPPOSITE and not is_number(recording) else ()


@lru_cache(maxsize=4096)
def _prepared(candidate: Candidate) -> Phrase:
    return prepare_phrase(candidate, *_language())


@cache
def _language() -> tuple[Tokenizer, Lexicon]:
    return Tokenizer.from_bytes(Weights.shipped().tokens), Lexicon.shipped()
