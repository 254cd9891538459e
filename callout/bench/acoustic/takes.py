"""Which recordings the decision is fitted on, under which conditions, and at which items."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from pathlib import Path

from callout.bench.acoustic.conditions import conditions
from callout.bench.acoustic.numbers import is_number, item, numbers
from callout.bench.corpora import CorpusKind, CorpusRecording, added_recordings, human_recordings
from callout.bench.fitting.fit import candidates_of
from callout.core.model.candidates import CandidateSet
from callout.ports.hearing import Samples

FOLDS = 5
TAKES_OF_A_DIGIT = 8
NUMBERS_UNDER = ("clean", "vehicle 10 dB", "crowd 10 dB", "echo")
"""Conditions under which numbers are heard."""


def takes(speech: Path, every: int) -> Iterator[tuple[CorpusRecording, int, int]]:
    """Yield each recording with its seed and the index of its condition."""
    names = [c.name for c in conditions(())]
    for number, recording in enumerate(unheard(speech, every)):
        for place in range(len(names)):
            yield recording, number, place
    for number, recording in enumerate(
        [*numbers([*human_recordings(speech), *added_recordings(speech)])][::every]
    ):
        for name in NUMBERS_UNDER:
            yield recording, number, names.index(name)


def crowd_of(speech: Path) -> Iterator[Samples]:
    """Yield the voices of the crowd: every other sentence; training used the rest."""
    everyone = [
        r for r in added_recordings(speech) if r.kind is CorpusKind.UNRELATED and not r.said
    ]
    yield from (r.samples for r in everyone[1::2])


def unheard(speech: Path, every: int) -> Iterator[CorpusRecording]:
    """Yield the recordings that the phone reading was not trained on."""
    taken: dict[tuple[str, str], int] = {}
    for recording in added_recordings(speech, every):
        if recording.name[1:2] == "_":  # a digit of one of three people who said it 50 times
            key = (recording.said, recording.speaker)
            taken[key] = taken.get(key, 0) + 1
            if taken[key] > TAKES_OF_A_DIGIT:
                continue
        yield recording


def fold_of(speaker: str) -> int:
    """Return the group of speakers held out together with this one."""
    return zlib.crc32(speaker.encode()) % FOLDS


def listened(recording: CorpusRecording) -> CandidateSet:
    """Return what to listen for when it is heard."""
    return item(recording.among[0]) if is_number(recording) else candidates_of(recording)
