"""Makes the recordings in ``audio_fixtures``: synthetic voices, noise, a few human words."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click
import numpy as np

from callout.bench.synth import synthesise
from callout.bench.told.recorded import write_stream
from callout.hearing.cabin_noise import cabin_noise, mix_noise
from callout.hearing.wav_file import read_wav
from callout.journal.sound_files import wav_bytes
from callout.ports.hearing import SAMPLE_RATE, Samples

VOICE = "festival:cmu_us_slt_arctic_hts"
COLUMNS = ("file", "words", "condition", "made", "licence")

_OWN = "MIT, as the project"
_SPEECH_COMMANDS = "CC BY 4.0"
_INTENT = "Apache-2.0"
_PILOT = "4c6167ca"
"""One speaker of the Speech Commands test set says the single words of the demonstration."""


@dataclass(frozen=True, slots=True)
class FixtureWord:
    """Words in a synthetic voice, clean or in cabin noise."""

    file: str
    words: str
    snr_db: float | None = None
    seed: int = 1

    condition: str = "clean"

    def samples(self, recordings: Path) -> Samples:
        """Return the sound; ``recordings`` is not needed."""
        speech = _between_pauses(synthesise(self.words, VOICE))
        return speech if self.snr_db is None else mix_noise(speech, self.snr_db, self.seed)

    @property
    def made(self) -> str:
        """How it was made."""
        noise = "" if self.snr_db is None else f", cabin noise {self.snr_db:g} dB, seed {self.seed}"
        return f"festival, voice cmu_us_slt_arctic_hts{noise}"

    licence = _OWN


@dataclass(frozen=True, slots=True)
class Copied:
    """A human recording, unchanged."""

    file: str
    words: str
    origin: str
    """Path below the folder of recordings."""
    made: str
    licence: str
    condition: str = "human"

    def samples(self, recordings: Path) -> Samples:
        """Return the sound."""
        return read_wav(recordings / self.origin)


@dataclass(frozen=True, slots=True)
class FixtureSound:
    """No speech at all."""

    file: str
    condition: str
    made: str
    words: str = ""
    licence: str = _OWN

    def samples(self, recordings: Path) -> Samples:
        """Return the sound; ``recordings`` is not needed."""
        return _SOUNDS[self.condition]()


Fixture = FixtureWord | Copied | FixtureSound


def _word(file: str, word: str, take: str) -> Copied:
    made = f"Speech Commands Data Set Test Files v0.02 (Warden), {take}"
    return Copied(file, word, f"commands12/{word}/{take}.wav", made, _SPEECH_COMMANDS)


def _tried(number: int, word: str) -> Copied:
    """Return one of the words that ``callout mic`` asks for, all by one person."""
    take = "563aa4e6_nohash_2"
    made = f"Speech Commands Data Set v0.01 (Warden), {take}"
    origin = f"words/{word}_{take}.wav"
    return Copied(f"mic/{number}-{word}.wav", word, origin, made, _SPEECH_COMMANDS)


FIXTURES: tuple[Fixture, ...] = (
    FixtureWord("demo/closed-and-locked.wav", "closed and locked"),
    FixtureWord("demo/they-are-still-loading-the-bags.wav", "they are still loading the bags"),
    FixtureWord("demo/locked-and-fastened.wav", "locked and fastened"),
    FixtureWord("demo/skip-this-item.wav", "skip this item"),
    FixtureWord("demo/they-flew-with-us-this-morning.wav", "they flew with us this morning"),
    _word("demo/off-1.wav", "off", f"{_PILOT}_nohash_0"),
    _word("demo/on-1.wav", "on", f"{_PILOT}_nohash_1"),
    FixtureWord("demo/both-on-in-noise.wav", "both on", -3.0, 3, "drowned in cabin noise"),
    FixtureWord("demo/both-on.wav", "both on"),
    _word("demo/off-2.wav", "off", f"{_PILOT}_nohash_1"),
    FixtureWord("demo/come-back-to-that.wav", "come back to that"),
    FixtureWord("demo/full-forward.wav", "full forward"),
    FixtureWord("demo/one-zero-one-three.wav", "one zero one three"),
    FixtureWord("demo/one-zero-one-eight.wav", "one zero one eight"),
    _word("demo/on-2.wav", "on", f"{_PILOT}_nohash_3"),
    FixtureWord("demo/both-open.wav", "both open"),
    FixtureWord("drill/avionics-master.wav", "avionics master"),
    FixtureWord("drill/wrong.wav", "that is wrong"),
    FixtureWord("drill/right.wav", "that is right"),
    _word("human/up.wav", "up", "189cbabe_nohash_0"),
    _word("human/down.wav", "down", "1b4c9b89_nohash_0"),
    _word("human/left.wav", "left", "3b4f8f24_nohash_0"),
    _word("human/right.wav", "right", "0cb74144_nohash_1"),
    _word("human/on.wav", "on", "370844f7_nohash_0"),
    _word("human/off.wav", "off", "1acc97de_nohash_0"),
    Copied(
        "human/coffee.wav",
        "an order at a coffee counter",
        "other/24050f1a-7cbe-40ca-ba4a-9b197309803e.wav",
        "Speech-to-Intent Benchmark data (Picovoice), resampled to 16 kHz",
        _INTENT,
        "human, nothing to do with a checklist",
    ),
    _tried(1, "on"),
    _tried(2, "seven"),
    _tried(3, "left"),
    FixtureWord("mic/4-checked.wav", "checked"),
    _tried(5, "nine"),
    FixtureSound("sounds/silence.wav", "silence", "zeros"),
    FixtureSound("sounds/cabin.wav", "cabin noise", "engine harmonics over air noise, seed 1"),
    FixtureSound("sounds/tone.wav", "tone", "1 kHz"),
    FixtureSound("sounds/keys.wav", "keyboard", "eight bursts of noise, seed 2"),
)


@click.command("fixtures")
@click.argument("recordings", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option(
    "--into", type=click.Path(path_type=Path), default=Path("audio_fixtures"), show_default=True
)
def command(recordings: Path, into: Path) -> None:
    """Make every recording of audio_fixtures, its manifest and its state stream anew.

    RECORDINGS holds the human ones: a folder commands12/ with a folder a word, words/ and other/.
    Needs festival with the voice cmu_us_slt_arctic_hts.
    """
    for fixture in FIXTURES:
        write_wav(into / fixture.file, fixture.samples(recordings))
    with (into / "manifest.csv").open("w", newline="", encoding="utf-8") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows(rows())
    write_stream(into)
    click.echo(f"{len(FIXTURES)} recordings in {into}")


def rows() -> Iterator[tuple[str, ...]]:
    """Yield the manifest's rows."""
    for fixture in FIXTURES:
        yield tuple(str(getattr(fixture, column)) for column in COLUMNS)


def write_wav(path: Path, samples: Samples) -> None:
    """Write 16-bit mono 16 kHz."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(wav_bytes(samples))


def _between_pauses(speech: Samples, pause_s: float = 0.15) -> Samples:
    """Return speech cut to its sound, with a moment before and after it."""
    loud = np.flatnonzero(np.abs(speech) > 0.01 * np.abs(speech).max())
    quiet = np.zeros(round(pause_s * SAMPLE_RATE), np.int16)
    return np.concatenate([quiet, speech[loud[0] : loud[-1] + 1], quiet])


def _tone() -> Samples:
    seconds = np.arange(SAMPLE_RATE) / SAMPLE_RATE
    return (8_000 * np.sin(2 * np.pi * 1_000 * seconds)).astype(np.int16)


def _keys() -> Samples:
    rng = np.random.default_rng(2)
    sound = np.zeros(2 * SAMPLE_RATE)
    for start in rng.integers(0, len(sound) - 800, 8):
        sound[start : start + 400] += rng.normal(0, 6_000, 400) * np.exp(-np.arange(400) / 60)
    return sound.clip(-32_768, 32_767).astype(np.int16)


_SOUNDS = {
    "silence": lambda: np.zeros(SAMPLE_RATE, np.int16),
    "cabin noise": lambda: (cabin_noise(3 * SAMPLE_RATE, 1) * 3_000).astype(np.int16),
    "tone": _tone,
    "keyboard": _keys,
}
