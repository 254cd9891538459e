"""What ``callout bench fuse`` prints, by condition."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from callout.bench.acoustic.conditions import conditions
from callout.bench.acoustic.decision_fit import wilson
from callout.bench.acoustic.numbers import is_number
from callout.bench.acoustic.reliability import picture
from callout.bench.corpora import OPPOSITE, CorpusKind, CorpusRecording
from callout.hearing.chain.reading import ChainReading
from callout.hearing.embedded.evidence import PhoneReading, PhraseScore
from callout.hearing.embedded.joint_decision import JointDecision
from callout.hearing.second_opinion.text_scorer import TextReading

NUMBERS = ", numbers"


@dataclass(frozen=True, slots=True)
class HeardUnder:
    """One recording under one condition, as the recogniser heard it."""

    recording: CorpusRecording
    condition: str
    scores: tuple[PhraseScore, ...]
    reading: PhoneReading
    text: TextReading | None = None
    """The second opinion, if installed."""
    chain: ChainReading | None = None
    """The third."""


@dataclass(frozen=True, slots=True)
class OpinionCase:
    """The evidence on the leading candidate, with or without the words said among them."""

    hearing: HeardUnder
    left_out: bool
    best: str
    evidence: tuple[float, ...]
    more_words: bool = False
    """More words were heard than the phrase has."""
    lead: float = math.inf
    """How far the leading candidate stands above its contrary."""

    @property
    def right(self) -> bool:
        """True if the leading candidate is what was said."""
        return not self.left_out and self.best == self.hearing.recording.said != ""


@dataclass(frozen=True, slots=True)
class Fused:
    """A decision, and its result for each case from a fit without the case's speaker."""

    decision: JointDecision
    cases: list[OpinionCase]
    chances: list[float]
    """Probability that the leading candidate was said, by the surer of the two ways."""
    sure: list[bool]


def report(cases: Sequence[OpinionCase], sure: Sequence[bool]) -> Iterator[str]:
    """Yield a line for each condition, words and numbers separately."""
    known = {_group(case) for case in cases}
    order = [c.name + more for more in ("", NUMBERS) for c in conditions(())]
    for name in [n for n in order if n in known]:
        counts = dict.fromkeys(
            ("replies", "right", "contrary", "wrong", "others", "taken", "left", "believed"), 0
        )
        for case, one in zip(cases, sure, strict=True):
            if _group(case) == name:
                _count(counts, case, one)
        yield (
            f"{name:23} right {counts['right']}/{counts['replies']} "
            f"{wilson(counts['right'], counts['replies'])}, contrary {counts['contrary']}, "
            f"any wrong {counts['wrong']}, unrelated {counts['taken']}/{counts['others']}, "
            f"without the words said {counts['believed']}/{counts['left']}"
        )


def reliability(cases: Sequence[OpinionCase], chances: Sequence[float]) -> Iterator[str]:
    """Yield a reliability diagram for each condition, words and numbers separately."""
    order = [c.name + more for more in ("", NUMBERS) for c in conditions(())]
    for name in order:
        there = [
            (chance, case.right)
            for case, chance in zip(cases, chances, strict=True)
            if _group(case) == name and case.evidence and not case.left_out
        ]
        if there:
            yield from picture(name, *zip(*there, strict=True))


def _count(counts: dict[str, int], case: OpinionCase, sure: bool) -> None:
    recording = case.hearing.recording
    taken = sure and case.best in recording.among
    if case.left_out:
        counts["left"] += 1
        counts["believed"] += taken
    elif recording.kind is CorpusKind.REPLY:
        counts["replies"] += 1
        counts["right"] += taken and case.right
        counts["wrong"] += taken and not case.right
        counts["contrary"] += taken and case.best == _contrary(recording)
    else:
        counts["others"] += 1
        counts["taken"] += taken


def _group(case: OpinionCase) -> str:
    return case.hearing.condition + (NUMBERS if is_number(case.hearing.recording) else "")


def _contrary(recording: CorpusRecording) -> str:
    """Return the worst confusion: the contrary, or the expected number."""
    if is_number(recording):
        expected = recording.among[0]
        return expected if expected != recording.said else ""
    return OPPOSITE[recording.said]
