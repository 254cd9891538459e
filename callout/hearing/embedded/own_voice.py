"""A second look at a reply, using the person's own enrolled voice.

It makes a reply more likely only if the recogniser's best phrase is also the nearest of the
person's own words, or it names that word if the best phrase is none of the nearest; otherwise it
makes the reply less likely. Numbers chosen on shared recordings (bench/results, own-voice).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from callout.hearing.embedded.evidence import PhraseScore
from callout.hearing.voices import Floats, Voice
from callout.hearing.warping import unit_directions, warped_distances

NEAR = 0.075
"""Warped distance below which an utterance counts as the person's own word; takes of one word are
0.02 to 0.08 apart, of the most similar words 0.05 to 0.12.
"""
CLOSEST = 0.015
"""Smaller distances carry no more information."""
FAR = 0.12
"""Distance of the next word if no other is enrolled."""
UNLIKE = 0.1
"""Warped distance from which an utterance is like none of the person's words: in a crowd, where the
nearest is a matter of chance.
"""
GAIN, MOST = 3.0, 2.5
"""Log-odds added for each e-fold by which the best phrase is nearer than the next word."""
LOSS = 6.0
"""Log-odds subtracted for each e-fold by which another word is nearer."""
LEAST = -1.5
"""Log-odds below which the own voice does not raise a phrase."""
CLEAR = 0.3
"""E-folds by which a word must be nearer than all others to replace the best phrase."""
WITHIN = 5.0
"""How far behind in the recogniser's own order it may then be."""

Near = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class VoiceLook:
    """The result of the second look."""

    scores: tuple[PhraseScore, ...]
    """The candidates, best first; another may now lead."""
    added: float
    """Log-odds to add to the decision's."""


class OwnWords:
    """The enrolled takes of one or more people, ready for comparison."""

    def __init__(self, voices: Sequence[Voice]) -> None:
        takes = [(voice.name, take) for voice in voices for take in voice.takes]
        self._owners = [name for name, _ in takes]
        self._words = [take.word for _, take in takes]
        self._frames = [unit_directions(take.frames) for _, take in takes]

    def near(self, frames: Floats) -> dict[str, float]:
        """Return the distance of the nearest take of each word."""
        return {word: min(found.values()) for word, found in self.by_word(frames).items()}

    def by_word(self, frames: Floats) -> dict[str, dict[str, float]]:
        """Return, for each word, the distance of each person's nearest take."""
        found: dict[str, dict[str, float]] = {}
        far = warped_distances(unit_directions(frames), self._frames)
        for owner, word, distance in zip(self._owners, self._words, far.tolist(), strict=True):
            one = found.setdefault(word, {})
            one[owner] = min(distance, one.get(owner, math.inf))
        return found


def second_look(
    scores: tuple[PhraseScore, ...],
    score: float,
    near: Near,
    spoken: Mapping[str, Sequence[str]],
) -> VoiceLook:
    """Return the candidates and the log-odds after a look at the person's own words.

    score: log-odds of ``scores[0]``. near: distance of each enrolled word. spoken: the ways each
    candidate may be said; those that are enrolled words are compared.
    """
    if not near or not scores:
        return VoiceLook(scores, 0.0)
    best = _nearest_enrolled(scores[0].text, near, spoken)
    word = min(near, key=lambda w: near[w])
    lead = _lead_over_next(word, near)
    if best == word:
        lifted = near[word] < NEAR and score > LEAST
        return VoiceLook(scores, min(MOST, GAIN * lead) if lifted else 0.0)
    clear = near[word] < NEAR and lead > CLEAR
    if clear and (other := _candidate_place(scores, word, near, spoken)) is not None:
        behind = scores[0].standing - scores[other].standing
        moved = (scores[other], *scores[:other], *scores[other + 1 :])
        return VoiceLook(moved, min(score, 0.0) - 0.2 * behind + min(MOST, GAIN * lead) - score)
    if best and near[word] < UNLIKE:
        return VoiceLook(scores, LOSS * _lead_over_next(best, near))
    return VoiceLook(scores, -LOSS * min(lead, 0.5) if clear else 0.0)


def _candidate_place(
    scores: tuple[PhraseScore, ...], word: str, near: Near, spoken: Mapping[str, Sequence[str]]
) -> int | None:
    """Return the index of the candidate that is ``word``, if it is not far behind; else None."""
    if not _nearest_enrolled(scores[0].text, near, spoken):
        return None  # nothing of the person's own to compare with the best phrase
    for place, one in enumerate(scores):
        if scores[0].standing - one.standing > WITHIN:
            return None
        if word in spoken.get(one.text, ()):
            return place
    return None


def _nearest_enrolled(text: str, near: Near, spoken: Mapping[str, Sequence[str]]) -> str:
    """Return the nearest enrolled word that is a way to say a candidate; empty for none."""
    ways = [way for way in spoken.get(text, ()) if way in near]
    return min(ways, key=lambda w: near[w], default="")


def _lead_over_next(word: str, near: Near) -> float:
    """Return by how many e-folds ``word`` is nearer than the next other; negative if it is not."""
    others = (max(d, CLOSEST) for other, d in near.items() if other != word)
    return math.log(min(others, default=FAR) / max(near[word], CLOSEST))
