"""``callout bench fuse``: fits how the opinions are weighed together, on held-out speakers.

Every recording is heard under every condition through the real recogniser, with an acoustic model
that was trained without its speaker. Each reply is also weighed with its words left out of the
candidates: whatever then leads is wrong, and must not be believed.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import pickle
import random
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any

import click
import numpy as np

from callout.bench.acoustic.conditions import conditions
from callout.bench.acoustic.decision_fit import fitted_mix, logistic_of
from callout.bench.acoustic.decision_report import (
    Fused,
    HeardUnder,
    reliability,
    report,
)
from callout.bench.acoustic.opinion_cases import by_network, cases_of, decided
from callout.bench.acoustic.takes import crowd_of, fold_of, listened, takes
from callout.bench.corpora import CorpusKind, CorpusRecording, framed_recording
from callout.bench.fitting.fit import DATA, UNDECIDED
from callout.bench.fitting.fit_examples import longest_utterance
from callout.bench.hearing import SHARED
from callout.core.sentences.commands import benches
from callout.core.sentences.commands import training as say
from callout.hearing.chain.reading import ChainReader
from callout.hearing.embedded.acoustic import Acoustic, unpack_weights
from callout.hearing.embedded.decision import shipped_decision
from callout.hearing.embedded.evidence import (
    FEATURES,
    PhoneReading,
)
from callout.hearing.embedded.joint_decision import JointDecision, Limits
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.second_opinion.published import MODEL, package_file
from callout.hearing.second_opinion.text_scorer import TextScorer
from callout.ports.hearing import Samples

LEFT_OUT_SHARE = 0.5
"""Weight of a reply weighed without its words, relative to one with them."""
MIX_ROUND, WEIGHT_ROUND = 4, 5


@click.command("fuse", short_help=say.FIT_OPINIONS)
@click.option("--speech", type=click.Path(path_type=Path), default=SHARED, show_default=True)
@click.option(
    "--acoustic",
    type=click.Path(path_type=Path, exists=True),
    required=True,
    help=say.FOLDER_OF_FOLDS,
)
@click.option("--every", default=1, show_default=True, help=benches.EVERY)
@click.option("--workers", default=os.cpu_count() or 1, show_default=True)
@click.option("--keep", type=click.Path(path_type=Path), help=say.KEEP_WHAT_WAS_HEARD)
@click.option("--threshold", default=0.92, show_default=True, help=say.LEAST_PROBABILITY)
@click.option("--among-others", default=0.955, show_default=True, help=say.FUSE_AMONG_OTHERS)
@click.option("--agreeing", default=0.65, show_default=True, help=say.FUSE_AGREEING)
@click.option("--over-contrary", default=3.0, show_default=True, help=say.OVER_CONTRARY)
@click.option("--write", is_flag=True, help=say.WRITE)
def command(
    speech: Path,
    acoustic: Path,
    every: int,
    workers: int,
    keep: Path | None,
    threshold: float,
    among_others: float,
    agreeing: float,
    over_contrary: float,
    write: bool,
) -> None:
    """Hear under all conditions and fit; print the held-out result by condition.

    Only recordings that the phone reading was not trained on are used. Needs the "fit" extra. Takes
    half an hour on sixteen cores.
    """
    if keep and keep.exists():
        hearings = pickle.loads(keep.read_bytes())
    else:
        hearings = list(heard(speech, acoustic, every, workers))
        if keep:
            keep.write_bytes(pickle.dumps(hearings))
    click.echo(say.WITHOUT_ACOUSTIC_MODEL)
    for line in report(*by_network(hearings)):
        click.echo(line)
    fused = fuse(hearings, Limits(threshold, among_others, agreeing, over_contrary))
    click.echo(say.WITH_ACOUSTIC_MODEL)
    for line in report(fused.cases, fused.sure):
        click.echo(line)
    for line in reliability(fused.cases, fused.chances):
        click.echo(line)
    if write:
        _write(fused.decision)


def heard(speech: Path, acoustic: Path, every: int, workers: int) -> Iterator[HeardUnder]:
    """Yield what each recording was heard as, under each condition."""
    crowd = tuple(crowd_of(speech))
    jobs = [(*job, acoustic) for job in takes(speech, every)]
    random.Random(0).shuffle(jobs)
    with ProcessPoolExecutor(workers, initializer=_begin, initargs=(crowd, workers)) as pool:
        for done in pool.map(_hear, jobs, chunksize=8):
            if done is not None:
                yield done


_crowd: tuple[Samples, ...] = ()


def _begin(crowd: tuple[Samples, ...], workers: int) -> None:
    global _crowd
    _crowd = crowd
    if hasattr(os, "sched_setaffinity"):  # the voice activity detector starts threads of its own
        number = multiprocessing.current_process()._identity[-1]
        os.sched_setaffinity(0, {number % min(workers, os.cpu_count() or 1)})


def _hear(job: tuple[CorpusRecording, int, int, Path]) -> HeardUnder | None:
    recording, number, place, folder = job
    condition = conditions(_crowd)[place]
    cut = longest_utterance(condition.make(framed_recording(recording, None), number))
    if cut is None:
        is_reply = recording.kind is CorpusKind.REPLY
        return _nothing(recording, condition.name) if is_reply else None
    recogniser = _recogniser()
    recogniser.acoustic = model_without(folder, recording.speaker)
    recogniser.listen_for(listened(recording))
    opinion = recogniser.opinion(cut)
    if opinion is None:
        return _nothing(recording, condition.name)
    second, forms = _second(), {c.text: c.forms for c in listened(recording).candidates}
    text = second.read(cut, forms) if second else None
    chain = _third().read(cut, forms)
    return HeardUnder(recording, condition.name, opinion.scores, opinion.reading, text, chain)


def _nothing(recording: CorpusRecording, condition: str) -> HeardUnder:
    return HeardUnder(recording, condition, (), PhoneReading("", 0.0))


@cache
def _recogniser() -> EmbeddedRecogniser:
    return EmbeddedRecogniser(UNDECIDED)


@cache
def _second() -> TextScorer | None:
    """Return the second opinion, if it is installed; its result is stored too."""
    return TextScorer.installed() if package_file(MODEL) else None


@cache
def _third() -> ChainReader:
    return ChainReader.shipped()


def model_without(folder: Path, speaker: str) -> Acoustic:
    """Return the model of a folder of folds that did not learn from this speaker."""
    return _model(folder / f"fold{fold_of(speaker)}.npz")


@cache
def _model(path: Path) -> Acoustic:
    with path.open("rb") as file:
        return Acoustic(unpack_weights(file))


def fuse(hearings: Sequence[HeardUnder], limits: Limits) -> Fused:
    """Fit on everything, and decide on each case with a fit without its speaker."""
    replies = [h for h in hearings if h.recording.kind is CorpusKind.REPLY and h.scores]
    mix = fitted_mix([(h.scores, h.recording.said) for h in replies], MIX_ROUND)
    cases = list(cases_of(hearings, mix.ranked))
    known = [i for i, c in enumerate(cases) if c.evidence]
    found = logistic_of(
        np.array([cases[i].evidence for i in known]),
        np.array([cases[i].right for i in known]),
        np.array([LEFT_OUT_SHARE if cases[i].left_out else 1.0 for i in known]),
        [fold_of(cases[i].hearing.recording.speaker) for i in known],
    )
    decision = JointDecision.within(limits, found.bias, found.weights, mix, shipped_decision())
    return decided(decision, cases, dict(zip(known, found.chances.tolist(), strict=True)))


def _write(decision: JointDecision) -> None:
    shares = (decision.mix.sound, decision.mix.decoder, decision.mix.phones)
    plain: dict[str, Any] = {
        "bias": round(decision.bias, WEIGHT_ROUND),
        **decision.limits._asdict(),
        "mix": [[s.weight, s.floor, s.sharpness] for s in shares],
        "weights": {
            n: round(w, WEIGHT_ROUND) for n, w in zip(FEATURES, decision.weights, strict=True)
        },
    }
    (DATA / "joint_decision.json").write_text(json.dumps(plain, indent=1) + "\n", "utf-8")
