"""Fuller ways to say an answer ("it is down and locked, three green"), nearest to the transcript.

They cannot all be listed, so they are built from the answer, from what crews say around one, and
from the transcript itself; the judge must accept each of them. Their rivals, the same sentences
with one word that makes them wrong, are listened for as well, so that the sound decides between the
two.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz
from rapidfuzz.distance import Levenshtein

from callout.core.judging.judge import judge_reply
from callout.core.language.number_words import cardinal_words, one_by_one
from callout.core.language.tables import Tables
from callout.core.model.candidates import Candidate, CandidateRole
from callout.core.model.expectation import Expectation
from callout.core.model.verdict import Verdict
from callout.core.understanding.answer_surroundings import surroundings_of
from callout.core.understanding.bare_answers import contraries_of, cores_of, slips_of

WAYS = 8
"""Number of fuller ways that are listened for."""
CONTRARIES, SLIPS = 18, 8
"""Number of wrong sentences beside them: another state or number; negations and orders."""
LOOKED_AT = 30
"""Number of sentences of each kind that the judge is asked about; each takes half a millisecond."""
SIDES = 12
"""Number of beginnings and endings that are tried."""
TWICE = 6
"""Number of endings of which two may be combined ("locked, three green")."""
LEAST_ALIKE = 0.6
"""Least likeness to the transcript; anything below means that something else was said."""
FURTHER = 0.25
"""How much less alike than the nearest a sentence may be."""
LONGEST = 12
"""Words of a transcript; a longer one is conversation."""
_DIGITS = re.compile(r"[0-9]+")
_OTHER = re.compile(r"[^a-z' ]+")


@dataclass(frozen=True, slots=True)
class FullerReplies:
    """Finds the fuller ways to say what one item expects."""

    expectation: Expectation
    tables: Tables

    def __call__(self, transcript: str) -> tuple[Candidate, ...]:
        """Return answers with their fuller ways, then rivals; nothing if none is close."""
        heard = _spoken(transcript)
        if not self.expectation.accepted or not heard[0] or len(heard[0].split()) > LONGEST:
            return ()
        near = _Near(self.expectation, self.tables, heard)
        ways = near.right()
        if not ways:
            return ()
        taken = {way for answer in ways.values() for way in answer}
        said = near.said_wrong()
        rivals = (
            *said,
            *near.wrong((r for way in taken for r in near.contraries(way)), CONTRARIES),
            *near.wrong((r for way in taken for r in slips_of(way)), SLIPS - len(said)),
        )
        return (
            *(Candidate(a, CandidateRole.ACCEPTED, tuple(forms)) for a, forms in ways.items()),
            *(Candidate(r, CandidateRole.CONTRAST, (r,)) for r in dict.fromkeys(rivals)),
        )


def _spoken(transcript: str) -> tuple[str, ...]:
    """Return the transcript in each way it can be written: digits one by one, and as numbers."""
    lower = transcript.lower().replace("-", " ")
    ways = (_DIGITS.sub(lambda m: f" {one_by_one(m[0])} ", lower), _DIGITS.sub(_number, lower))
    return tuple(dict.fromkeys(" ".join(_OTHER.sub(" ", way).split()) for way in ways))


def _number(found: re.Match[str]) -> str:
    digits = found[0]
    whole = len(digits) < 7 and digits[0] != "0"
    return f" {cardinal_words(int(digits)) if whole else one_by_one(digits)} "


class _Near:
    """Sentences ranked by likeness to one transcript."""

    def __init__(self, expectation: Expectation, tables: Tables, heard: Sequence[str]) -> None:
        self._expectation, self._tables, self._heard = expectation, tables, heard
        self._made: dict[str, tuple[str, str, str]] = {}

    def sentences(self) -> Iterator[str]:
        """Yield every combination of beginning, answer and ending that is worth a look."""
        sides = surroundings_of(self._expectation, self._tables)
        before, after = self._likely(sides.before), self._likely(sides.after)
        after += [f"{a} {b}" for a in after[1:TWICE] for b in after[1:TWICE] if a != b]
        for core in cores_of(self._expectation, self._tables):
            for first in before:
                for last in after:
                    text = " ".join(part for part in (first, core, last) if part)
                    self._made.setdefault(text, (first, core, last))
                    yield text

    def right(self) -> dict[str, list[str]]:
        """Return what was heard and the sentences nearest to it, by the answer that each gives.

        The judge accepts all of them.
        """
        ways: dict[str, list[str]] = {}
        for text in dict.fromkeys((*self._heard, *self._nearest(self.sentences()))):
            found = judge_reply(text, self._expectation, self._tables)
            if found.verdict is Verdict.MATCH and sum(map(len, ways.values())) < WAYS:
                ways.setdefault(self._answer(found.reply), []).append(text)
        return ways

    def wrong(self, texts: Iterable[str], most: int) -> list[str]:
        """Return sentences that the judge does not accept, nearest first."""
        ranked = sorted(dict.fromkeys(texts), key=lambda text: (-self._alike(text), text))
        return [t for t in ranked[: most + LOOKED_AT // 2] if not self._taken(t)][:most]

    def said_wrong(self) -> list[str]:
        """Return what was written down, if it says something wrong: "free and correct not"."""
        return [text for text in self._heard if self._verdict(text) is Verdict.MISMATCH]

    def contraries(self, way: str) -> Iterator[str]:
        """Yield ``way`` with one state, digit or answer replaced by another."""
        return contraries_of(way, self._made.get(way), self._expectation, self._tables)

    def _taken(self, text: str) -> bool:
        return self._verdict(text) is Verdict.MATCH

    def _verdict(self, text: str) -> Verdict:
        return judge_reply(text, self._expectation, self._tables).verdict

    def _answer(self, reply: str | None) -> str:
        texts = [answer.text for answer in self._expectation.accepted]
        return reply if reply in texts else texts[0]

    def _nearest(self, texts: Iterable[str]) -> list[str]:
        scored = [(self._alike(text), text) for text in dict.fromkeys(texts)]
        least = max(LEAST_ALIKE, max((alike for alike, _ in scored), default=0.0) - FURTHER)
        ranked = sorted((s for s in scored if s[0] >= least), key=lambda s: (-s[0], s[1]))
        return [text for _, text in ranked[:LOOKED_AT]]

    def _alike(self, text: str) -> float:
        return max(Levenshtein.normalized_similarity(text, heard) for heard in self._heard)

    def _likely(self, sides: Iterable[str]) -> list[str]:
        """Return the beginnings or endings that were heard, or nearly."""
        said = list(dict.fromkeys(side for side in sides if side))
        ranked = sorted(said, key=lambda s: -max(_inside(s, heard) for heard in self._heard))
        return ["", *ranked[:SIDES]]


def _inside(side: str, heard: str) -> float:
    """Return how well ``side`` matches in ``heard``; a longer match counts more."""
    return fuzz.partial_ratio(side, heard) + min(len(side), 20) if len(side) <= len(heard) else 0.0
