"""``callout bench longer``: fits when the third reading confirms, or speaks against, an answer of
several words.
"""

from __future__ import annotations

import json
import pickle
import zlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

import click
import numpy as np

from callout.bench.acoustic.decision_fit import Fitted, logistic_of
from callout.bench.acoustic.fuse import WEIGHT_ROUND
from callout.bench.acoustic.takes import FOLDS
from callout.bench.fitting.fit import DATA
from callout.bench.lists import list_replies
from callout.bench.longer.heard import HeardTry, hear_tries
from callout.bench.longer.near_misses import Kind, tries
from callout.core.sentences.commands import training as say
from callout.hearing.second_opinion.longer import CONFIRMING, GAINSAYING, LongerDecision

STRENGTH = 0.1
ALIKE_WEIGHT = 0.15
"""What a word that nobody would say there counts, beside a wrong reply that somebody might."""


@click.command("longer", short_help=say.FIT_LONGER)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path, exists=True))
@click.option("--keep", type=click.Path(path_type=Path), required=True, help=say.LONGER_KEEP)
@click.option("--every", default=1, show_default=True, help=say.LONGER_EVERY)
@click.option("--workers", default=2, show_default=True, help=say.LONGER_WORKERS)
@click.option("--confirm", default=0.85, show_default=True, help=say.LEAST_PROBABILITY)
@click.option("--gainsay", default=0.5, show_default=True, help=say.LEAST_BELIEVED)
@click.option("--over-contrary", default=2.0, show_default=True, help=say.OVER_CONTRARY)
@click.option("--heard-over-contrary", default=2.0, show_default=True, help=say.HEARD_CONTRARY)
@click.option("--certain", default=0.99, show_default=True, help=say.CERTAIN)
@click.option("--write", is_flag=True, help=say.WRITE)
def command(
    paths: Sequence[Path], keep: Path, every: int, workers: int, write: bool, **limits: float
) -> None:
    """Hear right replies and near misses of the lists in PATHS, fit, and print what changes.

    What was heard is kept in a file; without PATHS an earlier one is used. Needs flite and the
    "fit" extra.
    """
    if paths:
        tried = [*tries([*list_replies(paths, wrong=True)])][::every]
        keep.write_bytes(pickle.dumps([*hear_tries(tried, workers)]))
    heard: list[HeardTry] = pickle.loads(keep.read_bytes())
    doubted = [(one, one.doubt) for one in heard if one.doubt]
    believed = [(one, *one.belief) for one in heard if one.belief]
    confirming = _fitted([d.evidence for _, d in doubted], [one for one, _ in doubted])
    gainsaying = _fitted([evidence for *_, evidence in believed], [one for one, *_ in believed])
    wanted = replace(
        LongerDecision.shipped(),
        over_contrary=limits["over_contrary"],
        heard_over_contrary=limits["heard_over_contrary"],
    )
    confirmed = {
        id(one)
        for (one, doubt), chance in zip(doubted, confirming.chances, strict=True)
        if chance >= limits["confirm"]
        and wanted.is_apart(doubt.heard_lead, doubt.over_contrary, doubt.heard_over_contrary)
    }
    opposed = {
        id(one)
        for (one, sure, _), chance in zip(believed, gainsaying.chances, strict=True)
        if sure < limits["certain"] and chance < limits["gainsay"]
    }

    def taken(one: HeardTry) -> bool:
        return id(one) in confirmed or (one.taken and id(one) not in opposed)

    lines = (
        *table(heard, lambda one: one.taken, say.WITHOUT_LONGER),
        *table(heard, taken, say.WITH_LONGER),
    )
    for line in lines:
        click.echo(line)
    if write:
        _write(confirming, gainsaying, limits)


def table(
    heard: Sequence[HeardTry], taken: Callable[[HeardTry], bool], title: str
) -> Iterable[str]:
    """Yield a title and, for each condition and each kind of near miss, how many are taken."""
    yield title
    rights = [one for one in heard if one.right]
    for name in dict.fromkeys(one.surrounding for one in rights):
        there = [one for one in rights if one.surrounding == name]
        yield say.taken_of(name, sum(map(taken, there)), len(there))
    for kind in Kind:
        wrong = [one for one in heard if one.kind is kind and not one.right]
        if wrong:
            yield say.taken_of(kind.value, sum(map(taken, wrong)), len(wrong))


def _fitted(evidence: Sequence[Sequence[float]], tried: Sequence[HeardTry]) -> Fitted:
    shares = [ALIKE_WEIGHT if one.kind is Kind.ALIKE else 1.0 for one in tried]
    return logistic_of(
        np.array(evidence),
        np.array([one.right for one in tried]),
        np.array(shares),
        [zlib.crc32(one.item.encode()) % FOLDS for one in tried],
        STRENGTH,
    )


def _write(confirming: Fitted, gainsaying: Fitted, limits: dict[str, float]) -> None:
    def named(fitted: Fitted, names: Sequence[str], least: str) -> dict[str, float]:
        weights = (round(weight, WEIGHT_ROUND) for weight in fitted.weights)
        bias = round(fitted.bias, WEIGHT_ROUND)
        return {"bias": bias, "least": limits[least], **dict(zip(names, weights, strict=True))}

    kept = {
        **{name: limits[name] for name in ("over_contrary", "heard_over_contrary", "certain")},
        "confirming": named(confirming, CONFIRMING, "confirm"),
        "gainsaying": named(gainsaying, GAINSAYING, "gainsay"),
    }
    (DATA / "longer_decision.json").write_text(json.dumps(kept, indent=1) + "\n", "utf-8")
