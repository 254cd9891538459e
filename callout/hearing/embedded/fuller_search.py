"""Fuller ways to say an answer, found after the reply and scored beside the phrases known before.

Their level on noise, and the scores of all that is far behind, are worked out only where the answer
may hang on them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from callout.core.model.candidates import Candidate
from callout.hearing.embedded.evidence import WORST
from callout.hearing.embedded.looking import whole_look
from callout.hearing.embedded.near_search import score_near
from callout.hearing.embedded.network import Network
from callout.hearing.embedded.opinions import NEARLY, Impression
from callout.hearing.embedded.phone_probe import PhoneProbe
from callout.hearing.embedded.phrase_book import PhraseBook, PhraseSet, merged_scores
from callout.hearing.embedded.phrases import Phrase, Pronounced
from callout.hearing.embedded.scoring import Scores
from callout.hearing.embedded.sharing import run_both

LOUDEST = -6.0
"""No fuller answer is likelier than this on mere noise, natural log."""

Answer = tuple[str, float] | None
"""The answer that was said and its probability, if that is sure."""
Decide = Callable[[Impression, PhraseSet], Answer]


def search_fuller(
    network: Network,
    ends: tuple[int, ...],
    book: PhraseBook,
    probe: PhoneProbe,
    known: PhraseSet,
    more: Sequence[Candidate],
    seen: Impression,
    decide: Decide,
) -> Answer:
    """Return what ``decide`` says of the phrases with ``more`` added; known ones keep their scores.

    seen: what was made of the utterance, with what was set aside or without.
    """
    told, made = book.widened(known, more)
    if not made or seen.encoded is None:
        return None
    new, (encoded, root) = told.tokens - set(seen.scores.phrases), seen.encoded
    found, said = run_both(
        lambda: score_near(network, encoded, root, new, ends, free_tokens=0),
        lambda: Pronounced.of(probe, seen.frames, seen.sounds, told.sounds),
    )

    def answer(first: Scores, second: Scores) -> Answer:
        scores = merged_scores(first, second)
        return decide(replace(seen, scores=scores, pronounced=said), told)

    _set_level(made, WORST)
    likeliest = answer(seen.scores, found.least)
    _set_level(made, LOUDEST)
    groups = told.groups
    least = answer(seen.near.most(groups) if seen.near else seen.scores, found.most(groups))
    if likeliest is None and least is None:
        return None
    if likeliest and least and likeliest[0] == least[0] and least[1] >= NEARLY <= likeliest[1]:
        return min(likeliest, least, key=lambda one: one[1])
    rest, _ = run_both(
        lambda: (whole_look(network, ends, seen).scores, found.whole(network, encoded, ends)),
        lambda: book.share_level(made),
    )
    return answer(*rest)


def _set_level(made: Sequence[Phrase], level: float) -> None:
    for phrase in made:
        phrase.noise = level
