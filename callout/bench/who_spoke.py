"""Which of two enrolled speakers said a recorded word: every pair that shares enough words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from callout.bench.enrolled_takes import FEWEST_WORDS, Speakers
from callout.bench.hearing_report import share_interval
from callout.hearing.embedded.own_voice import OwnWords
from callout.hearing.voices import Floats, Voice
from callout.hearing.who import Who, named_speaker

MOST = 12
"""Trials of one speaker within a pair, so that none outweighs the rest."""


@dataclass(frozen=True, slots=True)
class SpeakerReply:
    """One reply of an enrolled speaker, as it was heard."""

    condition: str
    speaker: str
    file: str
    said: str
    word: str
    """What the recogniser was sure of; empty when it was not."""
    frames: Floats
    colour: Floats


@dataclass(frozen=True, slots=True)
class SpeakerAsked:
    """One reply, and which of two people was named."""

    condition: str
    pair: tuple[str, str]
    first: bool
    """True if the first of the pair spoke."""
    odds: float
    """Log-odds for the first."""
    named: str

    @property
    def right(self) -> bool:
        """True if the one who spoke was named."""
        return self.named == self.pair[0 if self.first else 1]


def ask_all(replies: Sequence[SpeakerReply], speakers: Speakers) -> Iterator[SpeakerAsked]:
    """Yield the trials of every pair: replies whose word both have enrolled."""
    by_speaker: dict[tuple[str, str], list[SpeakerReply]] = {}
    for reply in replies:
        by_speaker.setdefault((reply.condition, reply.speaker), []).append(reply)
    conditions = list(dict.fromkeys(r.condition for r in replies))
    for one, two in combinations(sorted({r.speaker for r in replies}), 2):
        common = set(speakers.enrol(one).words) & set(speakers.enrol(two).words)
        if len(common) < FEWEST_WORDS:
            continue
        for condition in conditions:
            for speaker in (one, two):
                mine = (r for r in by_speaker.get((condition, speaker), ()) if r.said in common)
                for reply in list(mine)[:MOST]:
                    yield _ask(reply, (one, two), speakers)


def _ask(reply: SpeakerReply, pair: tuple[str, str], speakers: Speakers) -> SpeakerAsked:
    """Ask with the reply itself left out of what is enrolled."""
    voices = [speakers.enrol(name, reply.file) for name in pair]
    takes = [Voice(v.name, tuple(t for t in v.takes if t.word == reply.word)) for v in voices]
    near = OwnWords(takes).by_word(reply.frames).get(reply.word, {}) if reply.word else {}
    chances = Who(voices).chances(reply.colour, near)
    odds = [math.log(max(chances.get(name, 0.5), 1e-300)) for name in pair]
    return SpeakerAsked(
        reply.condition, pair, reply.speaker == pair[0], odds[0] - odds[1], named_speaker(chances)
    )


def who_figures(asked: Sequence[SpeakerAsked]) -> dict[str, Any]:
    """Return the shares of each condition, each with its count and 95 % Wilson interval."""
    rows: dict[str, Any] = {}
    for condition in dict.fromkeys(a.condition for a in asked):
        some = [a for a in asked if a.condition == condition]
        rows[f"{condition}: who spoke, equal error rate"] = share_interval(
            _equal_errors(some), len(some)
        )
        rows[f"{condition}: who spoke, named"] = share_interval(
            sum(bool(a.named) for a in some), len(some)
        )
        wrong = sum(bool(a.named) and not a.right for a in some)
        rows[f"{condition}: who spoke, named wrongly"] = share_interval(wrong, len(some))
    return rows


def _equal_errors(asked: Iterable[SpeakerAsked]) -> int:
    """Return the errors at the threshold where both kinds are nearest to equally frequent."""
    some = list(asked)
    odds = np.array([a.odds for a in some])
    first = np.array([a.first for a in some])
    best, errors = math.inf, 0
    for least in [*np.unique(odds).tolist(), math.inf]:
        missed, false = int(np.sum(odds[first] < least)), int(np.sum(odds[~first] >= least))
        gap = abs(missed / max(first.sum(), 1) - false / max((~first).sum(), 1))
        if gap < best:
            best, errors = gap, missed + false
    return errors
