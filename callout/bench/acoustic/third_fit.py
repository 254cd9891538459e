"""``callout bench third``: fits when the third reading confirms, on held-out speakers.

Uses the output of ``callout bench fuse --keep`` with the second opinion installed, and the shipped
decisions of the first two. Where they are in doubt, the third is weighed in.
"""

from __future__ import annotations

import json
import pickle
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click
import numpy as np

from callout.bench.acoustic.decision_fit import logistic_of
from callout.bench.acoustic.decision_report import Fused, HeardUnder, OpinionCase, report
from callout.bench.acoustic.fuse import WEIGHT_ROUND
from callout.bench.acoustic.opinion_cases import as_decided, contraries
from callout.bench.acoustic.second_fit import (
    doubtful_cases,
    uncontradicted,
    ways_of_case,
    weight_of_case,
)
from callout.bench.acoustic.takes import fold_of
from callout.bench.fitting.fit import DATA
from callout.core.sentences.commands import training as say
from callout.hearing.chain.reading import ChainReading
from callout.hearing.embedded.joint_decision import joint_decision
from callout.hearing.second_opinion.third import (
    LIMITS,
    NAMES,
    Confirmation,
    ThirdDecision,
    confirmation,
)
from callout.hearing.second_opinion.weighing import SecondDecision

STRENGTH = 0.1


@dataclass(frozen=True, slots=True)
class OpenCase:
    """A case in which two opinions are in doubt, and what the third says of their leader."""

    at: int
    """Its index among all cases."""
    found: Confirmation
    lead: float
    """Over every contrary phrase, by the first two."""


@click.command("third", short_help=say.FIT_THIRD_OPINION)
@click.option(
    "--keep", type=click.Path(path_type=Path, exists=True), required=True, help=say.SECOND_KEEP
)
@click.option("--threshold", default=0.6, show_default=True, help=say.LEAST_PROBABILITY)
@click.option("--over-contrary", default=4.0, show_default=True, help=say.OVER_CONTRARY)
@click.option("--heard-over-contrary", default=3.0, show_default=True, help=say.HEARD_CONTRARY)
@click.option("--certain", default=0.995, show_default=True, help=say.CERTAIN)
@click.option("--contrary-ahead", default=0.0, show_default=True, help=say.CONTRARY_AHEAD)
@click.option("--contrary-gap", default=-0.3, show_default=True, help=say.CONTRARY_GAP)
@click.option("--write", is_flag=True, help=say.WRITE)
def command(keep: Path, write: bool, **limits: float) -> None:
    """Fit and print the result by condition, before and after. Needs the "fit" extra."""
    hearings: list[HeardUnder] = pickle.loads(keep.read_bytes())
    fused = uncontradicted(as_decided(hearings, joint_decision()))
    cases, sure, doubtful = by_two(fused, SecondDecision.shipped())
    click.echo(say.WITH_SECOND)
    for line in report(cases, sure):
        click.echo(line)
    wanted = ThirdDecision(0.0, (0.0,) * len(NAMES), **limits)
    decision = by_three(wanted, cases, sure, doubtful)
    click.echo(say.opposed_words(*oppose(decision, fused, sure)))
    click.echo(say.WITH_THIRD)
    for line in report(cases, sure):
        click.echo(line)
    if write:
        _write(decision)


def by_two(
    fused: Fused, second: SecondDecision
) -> tuple[list[OpinionCase], list[bool], list[OpenCase]]:
    """Return the cases as the first two decide, which are sure, and those for the third."""
    cases, sure, doubtful = list(fused.cases), list(fused.sure), list[OpenCase]()
    for one in doubtful_cases(fused, second.plausible):
        case = cases[one.at]
        leader = second.leader(one.first, one.text, ways_of_case(case))
        chance, rivals = (
            second.chance(leader.evidence),
            contraries(leader.text, case.hearing.recording),
        )
        cases[one.at] = replace(case, best=leader.text)
        if case.best in rivals:
            continue
        sure[one.at] = second.is_sure(chance, leader, rivals)
        reading = case.hearing.chain
        if sure[one.at] or reading is None:
            continue
        heard = _without(reading, case)
        if found := confirmation(heard, leader, chance, one.first, rivals):
            doubtful.append(OpenCase(one.at, found, leader.lead(rivals)))
    return cases, sure, doubtful


def by_three(
    wanted: ThirdDecision,
    cases: Sequence[OpinionCase],
    sure: list[bool],
    doubtful: Sequence[OpenCase],
) -> ThirdDecision:
    """Return the fitted decision; ``sure`` tells afterwards what is sure in a fit without the
    speaker.
    """
    found = logistic_of(
        np.array([one.found.evidence for one in doubtful]),
        np.array([cases[one.at].right for one in doubtful]),
        np.array([weight_of_case(cases[one.at]) for one in doubtful]),
        [fold_of(cases[one.at].hearing.recording.speaker) for one in doubtful],
        STRENGTH,
    )
    weights = tuple(round(w, WEIGHT_ROUND) for w in found.weights)
    decision = replace(wanted, bias=round(found.bias, WEIGHT_ROUND), weights=weights)
    for one, chance in zip(doubtful, found.chances, strict=True):
        sure[one.at] = decision.confirms(float(chance), one.found, one.lead)
    return decision


def oppose(decision: ThirdDecision, fused: Fused, sure: list[bool]) -> tuple[int, int]:
    """Make unsure what the third speaks against; return how many words that were right and wrong.

    Only of what the first is sure of, and not of numbers.
    """
    right = wrong = 0
    for at, (case, chance) in enumerate(zip(fused.cases, fused.chances, strict=True)):
        reading, rivals = case.hearing.chain, contraries(case.best, case.hearing.recording)
        if not fused.sure[at] or reading is None or not reading.outputs:
            continue
        if decision.opposes(_without(reading, case), case.best, chance, rivals):
            sure[at] = False
            right += case.right
            wrong += not case.right
    return right, wrong


def _without(reading: ChainReading, case: OpinionCase) -> ChainReading:
    """Return the reading without the word said, if that was not listened for."""
    if not case.left_out:
        return reading
    said = case.hearing.recording.said
    return replace(reading, phrases={k: v for k, v in reading.phrases.items() if k != said})


def _write(decision: ThirdDecision) -> None:
    kept: dict[str, Any] = {
        "bias": decision.bias,
        **{name: getattr(decision, name) for name in LIMITS},
        "weights": dict(zip(NAMES, decision.weights, strict=True)),
    }
    (DATA / "third_decision.json").write_text(json.dumps(kept, indent=1) + "\n", "utf-8")
