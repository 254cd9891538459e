"""``callout bench fit``: trains the phone reading and fits the decision, on held-out speakers."""

from __future__ import annotations

import json
import random
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
import numpy as np

from callout.app.shared.command_tables import default_commands
from callout.bench.corpora import (
    CorpusKind,
    CorpusRecording,
    framed_recording,
    human_recordings,
    noise_name,
)
from callout.bench.fitting import fit_examples as examples
from callout.bench.fitting import phone_training
from callout.bench.fitting.fit_examples import Encoder, ExampleTake, longest_utterance
from callout.bench.fitting.phone_training import Example
from callout.bench.hearing import SHARED, SNRS
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.sentences.commands import benches as sentences
from callout.hearing.embedded.decision import EmbeddedDecision
from callout.hearing.embedded.evidence import FEATURES, NETWORK
from callout.hearing.embedded.joint_decision import JointDecision
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.embedded.opinions import Impression
from callout.hearing.embedded.phone_probe import PhoneProbe
from callout.hearing.embedded.recogniser import EmbeddedRecogniser

DATA = Path("callout") / "data" / "hearing"
THRESHOLDS = (0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
UNDECIDED = JointDecision(0.0, (0.0,) * len(FEATURES))


@dataclass(frozen=True, slots=True)
class HeardExample:
    """One recording under one condition, as the network heard it."""

    recording: CorpusRecording
    condition: str
    impression: Impression


@dataclass(frozen=True, slots=True)
class FitCase:
    """The evidence on the best candidate of a held-out recording."""

    heard: HeardExample
    best: str
    evidence: tuple[float, ...]

    @property
    def right(self) -> bool:
        """True if the best candidate is what was said."""
        return self.heard.recording.said == self.best


@dataclass(frozen=True, slots=True)
class Training:
    """The training material, and the phone reading trained on synthetic voices alone."""

    lexicon: Lexicon
    made: list[Example]
    others: list[ExampleTake]
    first: Any

    def finetuned(self, heard: list[HeardExample], without: int = -1, folds: int = 1) -> Any:
        """Return the phone reading trained on human speech too, without one group of speakers."""

        def kept(speaker: str) -> bool:
            return _fold(speaker, folds) != without

        seen = [_example(h) for h in heard if _known(h) and kept(h.recording.speaker)]
        seen += [t.example for t in self.others if kept(t.speaker)]
        seen += random.Random(5).sample(self.made, min(1500, len(self.made)))
        return phone_training.train_network(
            seen, self.lexicon, start=self.first, epochs=4, rate=1.5e-3
        )


@click.command("fit", short_help=sentences.BENCH_FIT)
@click.option("--speech", type=click.Path(path_type=Path), default=SHARED, show_default=True)
@click.option("--every", default=1, show_default=True, help=sentences.EVERY)
@click.option("--synthetic", default=4000, show_default=True, help=sentences.FIT_SYNTHETIC)
@click.option("--takes", default=5, show_default=True, help=sentences.FIT_TAKES)
@click.option("--folds", default=5, show_default=True, help=sentences.FIT_FOLDS)
@click.option("--threshold", default=0.85, show_default=True, help=sentences.FIT_THRESHOLD)
@click.option("--write", is_flag=True, help=sentences.FIT_WRITE)
def command(
    speech: Path, every: int, synthetic: int, takes: int, folds: int, threshold: float, write: bool
) -> None:
    """Train and fit; print the held-out result at several thresholds.

    Needs the "fit" extra and synthetic voices (flite, espeak-ng). Two hours on two cores.
    """
    lexicon, encoder = Lexicon.shipped(), Encoder()
    made = list(examples.synthetic_examples(encoder, lexicon, synthetic))
    others = list(examples.other_takes(encoder, human_recordings(speech, every), takes))
    first = phone_training.train_network(made, lexicon, epochs=8, rate=2e-3)
    recogniser = EmbeddedRecogniser(UNDECIDED)
    heard = list(_human(recogniser, speech, every))
    training = Training(lexicon, made, others, first)
    cases = _held_out(recogniser, heard, training, folds)
    decision = _fit(cases, threshold)
    _print(cases, _cross_validated(cases, folds))
    if write:
        _write(decision, phone_training.as_probe(training.finetuned(heard)))
        examples.other_words(made).keep(DATA / "other_words.npz")


def _human(recogniser: EmbeddedRecogniser, speech: Path, every: int) -> Iterator[HeardExample]:
    for snr in SNRS:
        condition = noise_name(snr)
        for number, recording in enumerate(human_recordings(speech, every)):
            if recording.kind is CorpusKind.NOISE and snr is not None:
                continue
            recogniser.listen_for(candidates_of(recording))
            cut = longest_utterance(framed_recording(recording, snr, seed=number))
            if cut is not None and (impression := recogniser.impression(cut)):
                yield HeardExample(recording, condition, impression)


def candidates_of(recording: CorpusRecording) -> CandidateSet:
    """Return the replies to tell a recording apart from, and the commands."""
    replies = [Candidate(p, CandidateRole.ACCEPTED, (p,)) for p in recording.among]
    others = (tuple(p for p in g if p not in recording.among) for g in default_commands().groups())
    commands = [Candidate(g[0], CandidateRole.COMMAND, g) for g in others if g]
    return CandidateSet("fit", (*replies, *commands))


def _held_out(
    recogniser: EmbeddedRecogniser, heard: list[HeardExample], training: Training, folds: int
) -> list[FitCase]:
    cases: list[FitCase] = []
    for fold in range(folds):
        probe = phone_training.as_probe(training.finetuned(heard, fold, folds))
        for one in (h for h in heard if _fold(h.recording.speaker, folds) == fold):
            recogniser.listen_for(candidates_of(one.recording))
            opinion = recogniser.weigh(one.impression, probe)
            ranked = tuple(sorted(opinion.scores, key=lambda s: s.combined, reverse=True))
            evidence = recogniser.evidence(ranked, opinion.reading)[: len(NETWORK)]
            cases.append(FitCase(one, ranked[0].text, evidence))
        click.echo(f"speakers {fold + 1} of {folds} done", err=True)
    return cases


def _example(heard: HeardExample) -> Example:
    return Example(heard.impression.frames, heard.recording.said)


def _known(heard: HeardExample) -> bool:
    """Return False for speech without a transcript: it is not silence."""
    return bool(heard.recording.said) or heard.recording.kind is CorpusKind.NOISE


def _fold(speaker: str, folds: int) -> int:
    return zlib.crc32(speaker.encode()) % folds


def _arrays(cases: list[FitCase]) -> tuple[Any, Any]:
    return np.array([c.evidence for c in cases]), np.array([c.right for c in cases])


def _model() -> Any:
    from sklearn.linear_model import LogisticRegression
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import StandardScaler

    return make_pipeline(StandardScaler(), LogisticRegression(C=0.5, max_iter=5000))


def _fit(cases: list[FitCase], threshold: float) -> EmbeddedDecision:
    scaler, logistic = _model().fit(*_arrays(cases))
    weights = logistic.coef_[0] / scaler.scale_
    bias = float(logistic.intercept_[0] - (weights * scaler.mean_).sum())
    return EmbeddedDecision(bias, tuple(float(w) for w in weights), threshold)


def _cross_validated(cases: list[FitCase], folds: int) -> Any:
    from sklearn.model_selection import GroupKFold, cross_val_predict

    x, y = _arrays(cases)
    speakers = [c.heard.recording.speaker for c in cases]
    splits = GroupKFold(max(folds, 2))
    return cross_val_predict(_model(), x, y, groups=speakers, cv=splits, method="predict_proba")[
        :, 1
    ]


def _print(cases: list[FitCase], chances: Any) -> None:
    conditions = dict.fromkeys(c.heard.condition for c in cases)
    for condition in conditions:
        for threshold in THRESHOLDS:
            click.echo(
                f"{condition:6} at {threshold}: {_row(cases, chances, condition, threshold)}"
            )


def _row(cases: list[FitCase], chances: Any, condition: str, threshold: float) -> str:
    counts = dict.fromkeys(("right", "wrong", "replies", "taken", "others"), 0)
    for case, chance in zip(cases, chances, strict=True):
        recording = case.heard.recording
        if case.heard.condition != condition:
            continue
        taken = chance >= threshold and case.best in recording.among
        if recording.kind is CorpusKind.REPLY:
            counts["replies"] += 1
            counts["right"] += taken and case.right
            counts["wrong"] += taken and not case.right
        else:
            counts["others"] += 1
            counts["taken"] += taken
    return (
        f"right first time {counts['right']}/{counts['replies']}, "
        f"taken for a wrong one {counts['wrong']}/{counts['replies']}, "
        f"unrelated taken for any reply {counts['taken']}/{counts['others']}"
    )


def _write(decision: EmbeddedDecision, probe: PhoneProbe) -> None:
    plain = {
        "bias": round(decision.bias, 5),
        "threshold": decision.threshold,
        "weights": {n: round(w, 5) for n, w in zip(NETWORK, decision.weights, strict=True)},
    }
    (DATA / "decision.json").write_text(json.dumps(plain, indent=1) + "\n", "utf-8")
    kept: dict[str, Any] = {k: v.astype(np.float16) for k, v in probe.weights.items()}
    np.savez_compressed(DATA / "phones.npz", **kept)
