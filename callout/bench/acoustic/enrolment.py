"""``callout bench enrolment``: the effect of enrolling a voice, and who of two spoke."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import click

from callout.bench.acoustic.conditions import conditions
from callout.bench.acoustic.fuse import model_without
from callout.bench.acoustic.takes import crowd_of
from callout.bench.corpora import (
    DIGITS,
    CorpusKind,
    CorpusRecording,
    human_recordings,
    noise_name,
)
from callout.bench.enrolled_takes import Comparing, Speakers, enrolled_takes, promising_speakers
from callout.bench.hearing import SNRS, SPEECH
from callout.bench.hearing_report import figure_lines, share_interval
from callout.bench.hearing_trials import Bench, HearingTrial
from callout.bench.who_spoke import SpeakerReply, ask_all, who_figures
from callout.core.sentences.commands import benches as sentences
from callout.errors import CalloutError
from callout.hearing.colour import colour_of
from callout.hearing.voices import Voice
from callout.hearing.who import SURE

HEADER = (
    "The shipped phone reading was trained on these speakers among others, and the numbers of",
    "enrolment and of who spoke were chosen on them: both columns flatter, their difference less.",
    "A speaker's clean takes of each word are dealt out to two sides; one side is enrolled, the",
    "other tested. Unrelated speech of somebody not enrolled: against one who is, with all takes.",
    sentences.SPEAKERS_TOO_EASY,
)

Hear = Callable[[Bench, Sequence[CorpusRecording]], Iterator[HearingTrial]]
Surrounding = tuple[str, Hear]
UNDER = ("clean", "vehicle 10 dB", "crowd 10 dB", "echo")


@dataclass(frozen=True, slots=True)
class Both:
    """One recording heard without and with the voice enrolled."""

    before: HearingTrial
    after: HearingTrial


@click.command("enrolment", short_help=sentences.BENCH_ENROLMENT)
@SPEECH
@click.option(
    "--every",
    default=1,
    show_default=True,
    type=click.IntRange(1),
    help=sentences.ENROLMENT_EVERY,
)
@click.option(
    "--acoustic",
    type=click.Path(path_type=Path, exists=True),
    help=sentences.ENROLMENT_ACOUSTIC,
)
@click.option("--json-file", type=click.Path(path_type=Path), help=sentences.JSON_FILE)
def command(speech: Path, every: int, acoustic: Path | None, json_file: Path | None) -> None:
    """Hear recordings before and after enrolment through the live path; then ask who spoke."""
    recordings = list(human_recordings(speech))
    chosen = promising_speakers(recordings, every)
    if not chosen:
        raise CalloutError(sentences.too_few_repeated_words(speech), "Give the folder: --speech")
    recogniser = Comparing()
    own = [r for r in recordings if r.kind is CorpusKind.REPLY and r.speaker in chosen]
    speakers = Speakers(enrolled_takes(recogniser, own))
    tested = [r for r in own if speakers.testable(r)]
    tested += [r for r in recordings if r.kind is CorpusKind.UNRELATED][::every]
    for line in HEADER:
        click.echo(line)
    click.echo(sentences.speakers_named(len(speakers.names), SURE))
    surroundings = simulated(speech) if acoustic else in_noise()
    found, replies = _hear(recogniser, tested, speakers, surroundings, acoustic)
    asked = list(ask_all(replies, speakers))
    rows = {**_figures(found), **who_figures(asked)}
    for line in figure_lines(rows):
        click.echo(line)
    click.echo(sentences.pairs_of_speakers(len({a.pair for a in asked})))
    if json_file:
        rows = {"about": " ".join(HEADER), "pairs": len({a.pair for a in asked}), **rows}
        json_file.write_text(json.dumps(rows, indent=1) + "\n", "utf-8")


def in_noise() -> Iterator[Surrounding]:
    """Yield quiet, and cabin noise at some levels."""
    for snr in SNRS:
        name = noise_name(snr)
        yield name, partial(Bench.human, snr=snr, name=name)


def simulated(speech: Path) -> Iterator[Surrounding]:
    """Yield the surroundings of ``callout bench fuse`` in which a voice may matter."""
    known = {c.name: c.make for c in conditions(tuple(crowd_of(speech)))}
    for name in UNDER:
        yield name, partial(Bench.under, name=name, make=known[name])


def _hear(
    recogniser: Comparing,
    tested: Sequence[CorpusRecording],
    speakers: Speakers,
    surroundings: Iterable[Surrounding],
    acoustic: Path | None,
) -> tuple[list[Both], list[SpeakerReply]]:
    found: list[Both] = []
    replies: list[SpeakerReply] = []
    for name, hear in surroundings:
        for recording, both in _compared(recogniser, tested, speakers, hear, acoustic):
            found.append(both)
            if recording.kind is CorpusKind.REPLY and both.after.heard in recogniser.decided:
                replies.append(_reply(recogniser, recording, both.after))
        click.echo(f"{name}: {len(tested)} recordings", err=True)
    return found, replies


def _compared(
    recogniser: Comparing,
    tested: Sequence[CorpusRecording],
    speakers: Speakers,
    hear: Hear,
    acoustic: Path | None,
) -> Iterator[tuple[CorpusRecording, Both]]:
    """Hear each recording twice, side by side, so that the network runs once."""
    bench = Bench(recogniser)
    without, with_voice = hear(bench, tested), hear(bench, tested)
    for number, recording in enumerate(tested):
        if acoustic:
            recogniser.acoustic = model_without(acoustic, recording.speaker)
        recogniser.next_one()
        recogniser.know(())
        before = next(without)
        recogniser.know((_voice(recording, number, speakers),))
        yield recording, Both(before, next(with_voice))


def _voice(recording: CorpusRecording, number: int, speakers: Speakers) -> Voice:
    names = speakers.names
    if recording.speaker in names:
        return speakers.enrol(recording.speaker, recording.name)
    return speakers.enrol(names[number % len(names)])


def _reply(recogniser: Comparing, recording: CorpusRecording, trial: HearingTrial) -> SpeakerReply:
    samples, impression = recogniser.decided[trial.heard]
    return SpeakerReply(
        trial.condition,
        recording.speaker,
        recording.name,
        recording.said,
        trial.heard if trial.sure else "",
        impression.frames,
        colour_of(samples),
    )


def _figures(found: Iterable[Both]) -> dict[str, Any]:
    rows: dict[str, Any] = {}
    by_condition: dict[str, list[Both]] = {}
    for both in found:
        by_condition.setdefault(both.before.condition, []).append(both)
    for condition, some in by_condition.items():
        for when in ("before", "after"):
            trials: list[HearingTrial] = [getattr(both, when) for both in some]
            for name, (hits, of) in _counts(trials).items():
                if of:
                    rows[f"{condition}: {name}, {when}"] = share_interval(hits, of)
    return rows


def _counts(trials: Sequence[HearingTrial]) -> dict[str, tuple[int, int]]:
    replies = [t for t in trials if t.kind is CorpusKind.REPLY]
    unrelated = [t for t in trials if t.kind is CorpusKind.UNRELATED]
    digits = [t for t in replies if set(t.among) <= set(DIGITS)]
    wrong = sum(t.taken_for not in ("", t.said) for t in replies)
    return {
        "right first time": (sum(t.right for t in replies), len(replies)),
        "taken for a wrong word": (wrong, len(replies)),
        "unrelated taken": (sum(bool(t.taken_for) for t in unrelated), len(unrelated)),
        "isolated digits right": (sum(t.right for t in digits), len(digits)),
    }
