"""``callout bench second``: fits when two opinions together are sure, on held-out speakers.

Uses the output of ``callout bench fuse --keep`` with the second opinion installed: the first is
fitted again without each speaker, and where it is then in doubt, the second is weighed in. Each
reply is also weighed with its words left out: whatever then leads is wrong.
"""

from __future__ import annotations

import json
import pickle
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click
import numpy as np

from callout.bench.acoustic.decision_fit import logistic_of
from callout.bench.acoustic.decision_report import Fused, HeardUnder, OpinionCase, report
from callout.bench.acoustic.fuse import LEFT_OUT_SHARE, WEIGHT_ROUND, fuse
from callout.bench.acoustic.numbers import is_number
from callout.bench.acoustic.opinion_cases import as_decided, contraries
from callout.bench.acoustic.takes import fold_of, listened
from callout.bench.corpora import CorpusKind
from callout.bench.fitting.fit import DATA
from callout.core.sentences.commands import training as say
from callout.hearing.embedded.evidence import plain_words
from callout.hearing.embedded.joint_decision import joint_decision
from callout.hearing.embedded.standing import Share
from callout.hearing.second_opinion.questions import MOST_ASKED
from callout.hearing.second_opinion.spoken_ways import ways_of
from callout.hearing.second_opinion.text_scorer import TextReading
from callout.hearing.second_opinion.weighing import (
    LIMITS,
    NAMES,
    WORST_TEXT,
    FirstOpinion,
    SecondDecision,
)

START, BOUNDS = (1.0, -4.0, 0.7), ((0.0, 6.0), (-12.0, -1.0), (0.05, 2.0))
UNDECIDED = (0.0,) * len(NAMES)
STRENGTH = 0.05
"""Of the logistic: with so many features they are held closer to none than in ``fuse``."""
UNRELATED_SHARE = 2.0


@dataclass(frozen=True, slots=True)
class DoubtfulCase:
    """A case in which the first opinion is in doubt and the second was asked."""

    at: int
    """Its index among all cases."""
    first: FirstOpinion
    text: TextReading


@click.command("second", short_help=say.FIT_SECOND_OPINION)
@click.option(
    "--keep",
    type=click.Path(path_type=Path, exists=True),
    required=True,
    help=say.SECOND_KEEP,
)
@click.option("--threshold", default=0.95, show_default=True, help=say.LEAST_PROBABILITY)
@click.option("--plausible", default=0.02, show_default=True, help=say.SECOND_PLAUSIBLE)
@click.option("--over-contrary", default=3.0, show_default=True, help=say.OVER_CONTRARY)
@click.option("--clear", default=0.7, show_default=True, help=say.CLEAR_PROBABILITY)
@click.option("--clear-of-contrary", default=5.0, show_default=True, help=say.CLEAR_CONTRARY)
@click.option("--clear-of-others", default=3.0, show_default=True, help=say.CLEAR_OTHERS)
@click.option("--fresh-first", is_flag=True, help=say.SECOND_FRESH_FIRST)
@click.option("--write", is_flag=True, help=say.WRITE)
def command(keep: Path, fresh_first: bool, write: bool, **limits: Any) -> None:
    """Fit and print the result by condition, before and after. Needs the "fit" extra."""
    hearings: list[HeardUnder] = pickle.loads(keep.read_bytes())
    shipped = joint_decision()
    first = fuse(hearings, shipped.limits) if fresh_first else as_decided(hearings, shipped)
    fused = uncontradicted(first)
    click.echo(say.FIRST_ALONE)
    for line in report(fused.cases, fused.sure):
        click.echo(line)
    wanted = replace(SecondDecision.shipped(), **limits)  # "apart" was chosen on whole lists
    decision, cases, sure, asked = second(fused, wanted)
    click.echo(say.WITH_SECOND)
    for line in report(cases, sure):
        click.echo(line)
    click.echo(_shares(fused, asked))
    if write:
        _write(decision)


def uncontradicted(fused: Fused) -> Fused:
    """Return the result with nothing sure whose free transcript is another phrase, as in a
    session.
    """
    sure = [
        one and not _contradicted(case) for case, one in zip(fused.cases, fused.sure, strict=True)
    ]
    return replace(fused, sure=sure)


def _contradicted(case: OpinionCase) -> bool:
    heard, ways = plain_words(case.hearing.reading.text), ways_of_case(case)
    others = (texts for phrase, texts in ways.items() if phrase != case.best)
    return heard not in ("", *ways.get(case.best, ())) and any(heard in texts for texts in others)


def ways_of_case(case: OpinionCase) -> dict[str, frozenset[str]]:
    """Return how each phrase that was listened for may be written; not the words left out."""
    said = case.hearing.recording.said if case.left_out else ""
    there = listened(case.hearing.recording).candidates
    return ways_of({c.text: c.forms for c in there if c.text != said})


def second(
    fused: Fused, wanted: SecondDecision
) -> tuple[SecondDecision, list[OpinionCase], list[bool], list[int]]:
    """Return the decision, the cases, and which are sure in a fit without their speakers.

    wanted: what it requires; the rest is fitted. The last are the indices of the cases in which
    the second was asked.
    """
    doubtful = list(doubtful_cases(fused, wanted.plausible))
    share = _fitted_share(fused, doubtful)
    unweighed = SecondDecision(share, 0.0, UNDECIDED)
    leaders = [
        unweighed.leader(one.first, one.text, ways_of_case(fused.cases[one.at])) for one in doubtful
    ]
    cases, sure = list(fused.cases), list(fused.sure)
    for one, leader in zip(doubtful, leaders, strict=True):
        cases[one.at] = replace(cases[one.at], best=leader.text)
    asked = [one.at for one in doubtful]
    found = logistic_of(
        np.array([leader.evidence for leader in leaders]),
        np.array([cases[at].right for at in asked]),
        np.array([weight_of_case(cases[at]) for at in asked]),
        [fold_of(cases[at].hearing.recording.speaker) for at in asked],
        STRENGTH,
    )
    decision = replace(
        wanted,
        share=share,
        bias=round(found.bias, WEIGHT_ROUND),
        weights=tuple(round(w, WEIGHT_ROUND) for w in found.weights),
    )
    for at, chance, leader in zip(asked, found.chances, leaders, strict=True):
        before, recording = fused.cases[at].best, cases[at].hearing.recording
        rivals = contraries(leader.text, recording)
        sure[at] = before not in rivals and decision.is_sure(chance, leader, rivals)
    return decision, cases, sure, asked


def doubtful_cases(fused: Fused, plausible: float) -> Iterator[DoubtfulCase]:
    """Yield the cases in which a session would have asked the second."""
    for at, (case, chance, sure) in enumerate(
        zip(fused.cases, fused.chances, fused.sure, strict=True)
    ):
        text = case.hearing.text
        if sure or text is None or not case.evidence or chance < plausible:
            continue
        if case.hearing.reading.sound.phones == () or is_number(case.hearing.recording):
            continue
        said = case.hearing.recording.said if case.left_out else ""
        ranked = fused.decision.mix.ranked([s for s in case.hearing.scores if s.text != said])
        scores, reading = ranked[:MOST_ASKED], case.hearing.reading
        yield DoubtfulCase(at, FirstOpinion(scores, chance, reading, case.evidence), text)


def weight_of_case(case: OpinionCase) -> float:
    """Return how much a case counts; words and talk that are no reply are few, and count more."""
    if case.hearing.recording.kind is CorpusKind.UNRELATED:
        return UNRELATED_SHARE
    return LEFT_OUT_SHARE if case.left_out else 1.0


def _fitted_share(fused: Fused, doubtful: Sequence[DoubtfulCase]) -> Share:
    """Return the weight of the second opinion that makes what was said most likely."""
    from scipy.optimize import minimize

    rows: list[tuple[Any, Any, int]] = []
    for one in doubtful:
        case = fused.cases[one.at]
        texts = [s.text for s in one.first.scores]
        said = case.hearing.recording.said
        if not case.left_out and case.hearing.recording.kind is CorpusKind.REPLY and said in texts:
            likely = [max(one.text.phrases.get(t, WORST_TEXT), WORST_TEXT) for t in texts]
            standing = np.array([s.standing for s in one.first.scores])
            rows.append((standing, np.array(likely), texts.index(said)))
    best = minimize(_surprise, START, (rows,), "L-BFGS-B", bounds=BOUNDS)
    return Share(*(round(float(number), 4) for number in best.x))


def _surprise(numbers: Any, rows: Sequence[tuple[Any, Any, int]]) -> float:
    share = Share(*(float(number) for number in numbers))
    lost = 0.0
    for standing, likely, said in rows:
        together = standing + share.of(likely)
        lost += float(np.logaddexp.reduce(together) - together[said])
    return lost / max(len(rows), 1)


def _shares(fused: Fused, asked: Sequence[int]) -> str:
    replies: list[bool] = []
    others: list[bool] = []
    for at, case in enumerate(fused.cases):
        is_reply = case.hearing.recording.kind is CorpusKind.REPLY
        if not case.left_out:
            (replies if is_reply else others).append(at in asked)
    return say.how_often_asked(sum(replies), len(replies), sum(others), len(others))


def _write(decision: SecondDecision) -> None:
    share = decision.share
    kept: dict[str, Any] = {
        "share": [share.weight, share.floor, share.sharpness],
        "bias": decision.bias,
        **{name: getattr(decision, name) for name in LIMITS},
        "weights": dict(zip(NAMES, decision.weights, strict=True)),
    }
    (DATA / "second_decision.json").write_text(json.dumps(kept, indent=1) + "\n", "utf-8")
