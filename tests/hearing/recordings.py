"""The recordings that come with the program, and other forms of them."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from callout.app.shared.shipped import RECORDINGS, shipped_folder
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.errors import CalloutError
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.wav_file import read_wav
from callout.ports.hearing import SAMPLE_RATE, Samples

FOLDER: Path = shipped_folder(RECORDINGS)
with (FOLDER / "manifest.csv").open(encoding="utf-8", newline="") as stream:
    WORDS = {row["file"]: row["words"] for row in csv.DictReader(stream)}
ROOM = np.zeros(SAMPLE_RATE // 2, np.int16)
SOUNDS = tuple(name for name in WORDS if name.startswith("sounds/"))


def recording(name: str) -> Samples:
    """Return a recording of the manifest: int16, 16 kHz, mono."""
    return read_wav(FOLDER / name)


def in_a_room(name: str) -> Samples:
    """Return it with half a second of silence before and a second after."""
    return np.concatenate([ROOM, recording(name), ROOM, ROOM])


def embedded() -> EmbeddedRecogniser:
    """Return the real recogniser; skips where its weights are not installed."""
    try:
        return EmbeddedRecogniser()
    except CalloutError as error:
        pytest.skip(f"{error.message} {error.hint}")


def listening_for(*phrases: str) -> CandidateSet:
    """Return a set in which the first phrase is accepted and the others are wrong."""
    roles = [CandidateRole.ACCEPTED] + [CandidateRole.WRONG] * (len(phrases) - 1)
    both = zip(phrases, roles, strict=True)
    return CandidateSet("item", tuple(Candidate(p, role, (p,)) for p, role in both))
