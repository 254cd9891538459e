"""The recogniser's opinion on one utterance, before it decides."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

import numpy as np

from callout.core.model.candidates import Candidate, CandidateRole
from callout.hearing.embedded.evidence import (
    CLEAR_DB,
    AcousticReading,
    PhoneReading,
    PhraseScore,
    plain_words,
)
from callout.hearing.embedded.joint_decision import JointDecision, more_words
from callout.hearing.embedded.near_search import NearScores
from callout.hearing.embedded.network import Encoded, Rows
from callout.hearing.embedded.phrase_book import PhraseSet
from callout.hearing.embedded.phrases import Pronounced
from callout.hearing.embedded.scoring import Scores
from callout.hearing.embedded.tries import WeighedTry
from callout.hearing.embedded.weights import Floats


@dataclass(frozen=True, slots=True)
class Impression:
    """The network's output for one utterance, before the phones are read."""

    frames: Floats
    """Encoder output of the utterance itself, (frames, 288)."""
    scores: Scores
    sounds: Floats
    """The acoustic model's reading of the sound as heard, (frames of 20 ms, phones + 1)."""
    snr_db: float = CLEAR_DB
    """Signal-to-noise ratio of the voice."""
    encoded: tuple[Encoded, Rows] | None = None
    """The recording as the decoder sees it, and its first row; None if it was not kept."""
    pronounced: Pronounced | None = None
    """The phones of the prepared phrases, worked out beside the network's scores."""
    near: NearScores | None = None
    """What the search for the scores has set aside; None if nothing."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """Everything the decision uses about one utterance; best candidate first."""

    scores: tuple[PhraseScore, ...]
    evidence: tuple[float, ...]
    """Features of the leading phrase, in the order of ``evidence.NETWORK``."""
    reading: PhoneReading
    own: float = 0.0
    """Log-odds added by a comparison with the person's own voice."""
    moved: bool = False
    """True: that comparison put another phrase first than the one the evidence is about."""


def reading_of(impression: Impression, said: Pronounced, text: str) -> PhoneReading:
    """Return what was heard without candidates; text: the free transcript."""
    scores, sounds = impression.scores, impression.sounds
    heard = AcousticReading.of(said.phones, said.sounded.best, sounds)
    snr_db = impression.snr_db
    return PhoneReading(text, scores.free_score, said.path, said.read.best, snr_db, heard)


SHOWN = 4
"""Number of other candidates named beside the best."""


def other_candidates(scores: tuple[PhraseScore, ...], text: str) -> tuple[tuple[str, float], ...]:
    """Return the other leading candidates with their share of the evidence."""
    total = float(np.logaddexp.reduce([s.standing for s in scores]))
    shares = [(s.text, float(np.exp(s.standing - total))) for s in scores if s.text != text]
    return tuple(shares[:SHOWN])


def contradicted_by_transcript(opinion: Opinion, written: Mapping[str, set[str]]) -> bool:
    """Return True if the free transcript is, word for word, a candidate other than the best.

    Two opinions that name different replies are never certain, whatever the scores say.
    """
    heard = plain_words(opinion.reading.text)
    best = opinion.scores[0].text
    others = (ways for text, ways in written.items() if text != best)
    return heard not in ("", *written[best]) and any(heard in ways for ways in others)


def judged_alone(decision: JointDecision, opinion: Opinion, among: PhraseSet) -> WeighedTry:
    """Return the best phrase with the odds and the lead that this utterance alone gives it."""
    score, best = decision.score(opinion.evidence), opinion.scores[0].text
    return WeighedTry(best, score, among.lead(opinion.scores))


def certainty(
    decision: JointDecision,
    opinion: Opinion,
    among: PhraseSet,
    judged: WeighedTry,
    added: float,
) -> tuple[float, bool]:
    """Return the probability of the best phrase, and whether it is enough to be sure.

    judged: the log-odds of all opinions and the lead; added: what of the odds comes from elsewhere.
    """
    written, best = among.written, opinion.scores[0].text
    joint = decision.confidence(judged.score)
    alone = 0.0 if opinion.moved else decision.by_network(opinion.evidence, added)
    heard = plain_words(opinion.reading.text)
    more = more_words(heard, written[best])
    sure = (
        opinion.reading.sound.phones != ()  # as noises are read, all of them
        and decision.suffices(joint, alone, more)
        and decision.leads_enough(judged.lead, heard in written[best])
        and not contradicted_by_transcript(opinion, written)
    )
    return decision.confidence_of(joint, alone), sure


def fuller_answer(
    opinion: Opinion,
    first: Opinion,
    decision: JointDecision,
    told: PhraseSet,
    more: Collection[Candidate],
) -> tuple[str, float] | None:
    """Return the answer among ``more`` that was said, and its probability, if that is sure.

    first: the opinion without them; an answer that is contrary to it is never sure.
    """
    best = told.phrases[opinion.scores[0].text].candidate
    judged = judged_alone(decision, opinion, told)
    confidence, sure = certainty(decision, opinion, told, judged, 0.0)
    opposed = first.scores[0].text in told.contraries(best.text)
    answer = best in more and best.role is CandidateRole.ACCEPTED
    return (best.text, confidence) if sure and answer and not opposed else None


CERTAIN, NEARLY = 0.995, 0.98
"""Probabilities from which nothing more is asked about a single word, and about more words: no
further opinion doubts them, and nothing in a session requires more.
"""


def clear_opinion(
    least: Opinion,
    most: Opinion,
    decision: JointDecision,
    among: PhraseSet,
    more_said: Callable[[Opinion], bool],
) -> Opinion | None:
    """Return the less certain of two opinions if whatever is between them decides alike.

    least, most: with the lowest and the highest scores that phrases set aside may have. Either both
    are nearly certain of the same phrase; it leads by the decoder in both, so that what is between
    has a probability between theirs, or within a few ten-thousandths, and less than these is enough
    to be sure. Or more was said than that phrase, and neither is believed.
    """
    text = least.scores[0].text
    if most.scores[0].text != text:
        return None
    several = any(" " in form for form in among.phrases[text].candidate.forms)
    found = [(o, judged_alone(decision, o, among)) for o in (least, most)]
    clear = more_said(least) or all(
        decision.confidence(judged.score) >= (NEARLY if several else CERTAIN)
        and certainty(decision, o, among, judged, 0.0)[1]
        and o.scores[0].adjusted >= max(s.adjusted for s in o.scores)
        for o, judged in found
    )
    return min(found, key=lambda one: one[1].score)[0] if clear else None
