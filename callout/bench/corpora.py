"""Recordings for measurements: human words, unrelated speech, synthetic replies, noises."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from callout.hearing.cabin_noise import mix_noise
from callout.hearing.wav_file import read_wav
from callout.ports.hearing import SAMPLE_RATE, Samples

COMMAND_WORDS = ("yes", "no", "up", "down", "left", "right", "on", "off", "stop", "go")
DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
BOTH = COMMAND_WORDS + DIGITS
OPPOSITE = {
    "yes": "no", "no": "yes", "up": "down", "down": "up", "left": "right", "right": "left",
    "on": "off", "off": "on", "stop": "go", "go": "stop", "five": "nine", "nine": "five",
    "zero": "two", "one": "nine", "two": "three", "three": "two", "four": "five", "six": "three",
    "seven": "six", "eight": "three",
}  # fmt: skip
"""The plausible wrong reply to each word: the contrary state, or the digit most often confused with
it.
"""
BY_TRADE = {"tree": "three"}
"""Recorded words that are a right way to say another (ICAO Annex 10 says "tree" for 3)."""


Floats = NDArray[np.float64]


class CorpusKind(Enum):
    """What should become of a recording."""

    REPLY = "reply"
    UNRELATED = "unrelated"
    NOISE = "noise"


@dataclass(frozen=True, slots=True)
class CorpusRecording:
    """One utterance to be heard."""

    name: str
    speaker: str
    kind: CorpusKind
    said: str
    """The words said; empty for noise."""
    among: tuple[str, ...]
    """The replies to tell it apart from."""
    samples: Samples


def human_recordings(folder: Path, share: int = 1) -> Iterator[CorpusRecording]:
    """Yield the human recordings of the shared folders, every ``share``-th file of a kind.

    Sources, speakers and licences: ATTRIBUTION.md beside them.
    """
    for file in sorted((folder / "commands12").glob("*/*.wav"))[::share]:
        yield _command(file)
    for file in sorted((folder / "words").glob("*.wav"))[::share]:
        word = BY_TRADE.get(file.stem.split("_")[0], file.stem.split("_")[0])
        kind = CorpusKind.REPLY if word in BOTH else CorpusKind.UNRELATED
        yield CorpusRecording(file.name, _speaker(file), kind, word, BOTH, read_wav(file))
    for file in sorted((folder / "digits").glob("*.wav"))[::share]:
        digit, speaker, _ = file.stem.split("_")
        said = DIGITS[int(digit)]
        yield CorpusRecording(file.name, speaker, CorpusKind.REPLY, said, DIGITS, read_wav(file))
    for file in sorted((folder / "other").glob("*.wav"))[::share]:
        samples = read_wav(file)[: 8 * SAMPLE_RATE]
        yield CorpusRecording(
            file.name, file.stem, CorpusKind.UNRELATED, "", COMMAND_WORDS, samples
        )


def added_recordings(folder: Path, share: int = 1) -> Iterator[CorpusRecording]:
    """Yield the recordings added later: command words, digits, and sentences of other people."""
    for file in sorted((folder / "commands12-more").glob("*/*.flac"))[::share]:
        yield _command(file)
    for file in sorted((folder / "digits-more").glob("*.flac"))[::share]:
        digit, speaker, _ = file.stem.split("_")
        said = DIGITS[int(digit)]
        yield CorpusRecording(file.name, speaker, CorpusKind.REPLY, said, DIGITS, _read(file))
    for file in sorted((folder / "sentences").glob("*.flac"))[::share]:
        samples = _read(file)[: 8 * SAMPLE_RATE]
        yield CorpusRecording(
            file.name, file.stem, CorpusKind.UNRELATED, "", COMMAND_WORDS, samples
        )


def _command(file: Path) -> CorpusRecording:
    label = file.parent.name
    kind = CorpusKind.REPLY
    if label == "_silence_":
        kind, label = CorpusKind.NOISE, ""
    elif label == "_unknown_":
        kind, label = CorpusKind.UNRELATED, file.stem.split("_")[0]
    name = f"{file.parent.name}/{file.name}"  # a speaker's files are named alike in every class
    return CorpusRecording(name, _speaker(file), kind, label, COMMAND_WORDS, _read(file))


def _read(file: Path) -> Samples:
    if file.suffix == ".wav":
        return read_wav(file)
    import soundfile

    samples: Samples = soundfile.read(file, dtype="int16")[0]
    return samples


def _speaker(file: Path) -> str:
    found = re.search(r"([0-9a-f]{8})_nohash", file.name)
    return found[1] if found else file.stem


def noise_name(snr_db: float | None) -> str:
    """Return how a level of cabin noise is called in tables; None is quiet."""
    return "clean" if snr_db is None else f"{snr_db:g} dB"


def framed_recording(recording: CorpusRecording, snr_db: float | None, seed: int = 0) -> Samples:
    """Return the recording with half a second of room on both sides, mixed with cabin noise."""
    room = np.zeros(SAMPLE_RATE // 2, np.int16)
    whole = np.concatenate([room, recording.samples, room])
    return whole if snr_db is None else mix_noise(whole, snr_db, seed)


def noise_recordings(rng: np.random.Generator) -> Iterator[tuple[str, Samples]]:
    """Yield sounds without speech: silence, hiss, rumble, tones, keys, breath, clicks."""
    n = 2 * SAMPLE_RATE
    t = np.arange(n) / SAMPLE_RATE
    white = rng.normal(0.0, 1.0, n)
    yield "silence", np.zeros(n, np.int16)
    for level in (30.0, 300.0, 3000.0):
        yield f"hiss at {level:g}", _pcm(white * level)
        yield f"rumble at {level:g}", _pcm(_normal(np.cumsum(white)) * level)
    for hertz in (220, 440, 1000, 2500):
        yield f"tone of {hertz} Hz", _pcm(np.sin(2 * np.pi * hertz * t) * 8000)
    for seed in range(8):
        yield f"keys {seed}", _pcm(_bursts(rng, n, 7, 0.012))
        yield f"breath {seed}", _pcm(_bursts(rng, n, 2, 0.35) * 0.3)
        yield f"knocks {seed}", _pcm(_bursts(rng, n, 4, 0.06))


def _bursts(rng: np.random.Generator, n: int, count: int, seconds: float) -> Floats:
    out = np.zeros(n)
    length = int(seconds * SAMPLE_RATE)
    for at in rng.integers(0, n - length, count):
        fade = np.hanning(length) if seconds > 0.1 else np.exp(-np.linspace(0, 6, length))
        out[at : at + length] += rng.normal(0.0, 6000.0, length) * fade
    return out


def _normal(x: Floats) -> Floats:
    return np.asarray((x - x.mean()) / (x.std() + 1e-9))


def _pcm(x: Floats) -> Samples:
    return np.clip(x, -32768, 32767).astype(np.int16)
