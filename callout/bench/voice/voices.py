"""``callout bench voices``: is the built-in voice understood, and is it ever taken for a reply?"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator
from functools import partial
from itertools import product
from pathlib import Path

import click
import numpy as np
import yaml

from callout.app.listening.recordings import expected_reply
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.bench.corpora import BOTH, CorpusKind, Floats, human_recordings
from callout.bench.hearing_trials import Bench
from callout.bench.own_voice_scenes import Way, stage_scene
from callout.bench.phrases import PHRASES
from callout.bench.staged import listen_in
from callout.bench.synth import installed_voices, synthesise
from callout.bench.voice.first_heard import first_heard_line, seconds_to_first_sound
from callout.bench.voice.rooms import ROOMS, Room, echo_left
from callout.bench.voice.talking_over import own_alone, replies_over
from callout.core.model.intervals import wilson_interval
from callout.core.sentences.commands import benches as sentences
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate
from callout.speaking.embedded.rendering import FIRST, SECOND, Renderer, Timbre
from callout.speaking.embedded.waveform import RATE

PARTS = ("understood", "alone", "echo", "over", "first")
WPM = 180.0
FIRST_RUNS = 10
LEVELS = (0.0, -10.0, -20.0)
"""Of the voice at the microphone, in dB relative to a usual reply."""
EXPECTED = PHRASES[::12]
"""Replies that the items expect, in turn; preparing to hear one takes longer than hearing it."""
NEVER = "xylophone"
"""A reply that nobody gives: the transcript is wanted, not a choice."""
OVER_ROOMS = (
    Room(0.02, 0.3),
    Room(0.1, 0.6, gain=0.1),
    Room(0.25, 0.3, gain=0.5),
    Room(0.1, 0.3, 100.0),
)
TIMBRES = {"built-in": FIRST, "built-in low": SECOND}
PLATFORM = "espeak:en-gb"
"""The voice that a Linux platform has, for comparison."""


def shipped_challenges() -> list[str]:
    """Return the challenges of the shipped lists, without repeats, in order."""
    found: dict[str, None] = {}
    for path in sorted(shipped_folder(CHECKLISTS).rglob("*.yaml")):
        for text in _asked(yaml.safe_load(path.read_text(encoding="utf-8"))):
            found.setdefault(text.rstrip(" .?!:"))
    return [text for text in found if "{" not in text]


def _asked(told: object) -> Iterator[str]:
    if isinstance(told, list):
        for part in told:
            yield from _asked(part)
    elif isinstance(told, dict):
        if "challenge" in told:
            yield str(told.get("say") or told["challenge"])
        for part in told.values():
            yield from _asked(part)


def spoken_samples(renderer: Renderer, text: str, timbre: Timbre) -> Samples:
    """Return a text as spoken, int16 at the rate of hearing."""
    sound: Floats = np.concatenate(list(renderer.sentences(text, WPM, timbre)))
    heard = convert_rate(sound.astype(np.float32), RATE, SAMPLE_RATE)
    result: Samples = np.round(heard * 32_767).astype(np.int16)
    return result


@click.command("voices", short_help=sentences.BENCH_VOICES)
@click.option("--only", type=click.Choice(PARTS), help=sentences.VOICES_ONLY)
@click.option("--most", type=int, default=1_000, help=sentences.VOICES_MOST)
@click.option(
    "--corpus",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    help=sentences.VOICES_CORPUS,
)
@click.option("--share", type=int, default=60, help=sentences.VOICES_SHARE)
def command(only: str | None, most: int, corpus: Path | None, share: int) -> None:
    """Have the recogniser hear the shipped lists' challenges in the built-in voice.

    \b
    understood   words lost when the recogniser transcribes it
    alone        the voice late and echoing in a room: is it taken for a reply?
    echo         what is left of it after cancelling, in simulated rooms
    over         cancelled and gated: the voice alone, then people talking over it
    first        from starting the program to the first sound of a list
    """
    if only in (None, "first"):
        click.echo(first_heard_line(list(seconds_to_first_sound(FIRST_RUNS))))
    renderer, texts = Renderer.shipped(), shipped_challenges()[:most]
    bench = Bench(EmbeddedRecogniser())
    if only in (None, "understood"):
        for name, say in _saying(renderer).items():
            click.echo(_understood(bench, texts, name, say))
    if only in (None, "alone"):
        for level in LEVELS:
            click.echo(_alone(bench, renderer, texts, level))
    if only in (None, "echo"):
        for room in ROOMS:
            left = echo_left(room, [spoken_samples(renderer, t, FIRST) for t in texts[:20]])
            click.echo(f"{room.name}: removed {left.removed_db:.0f} dB")
    if only in (None, "over"):
        both = [spoken_samples(renderer, t, (FIRST, SECOND)[n % 2]) for n, t in enumerate(texts)]
        for line in _over(bench, both, corpus, share):
            click.echo(line)


def _over(bench: Bench, texts: list[Samples], corpus: Path | None, share: int) -> Iterator[str]:
    for room, count, taken, silent in own_alone(bench, OVER_ROOMS, texts, BOTH):
        low, high = wilson_interval(taken, count)
        told = f"taken for a reply {taken} of {count} [{low:.1%}, {high:.1%}]"
        yield f"{room.name}, nobody replying: {told}, fell silent for itself {silent} times"
    if corpus is None:
        return
    people = [
        r for r in human_recordings(corpus) if r.kind is CorpusKind.REPLY and _held_out(r.speaker)
    ]
    for tally in replies_over(bench, OVER_ROOMS, texts, people[::share]):
        yield tally.line()


def _held_out(speaker: str) -> bool:
    """Return True for the half of all speakers on whom nothing here was chosen."""
    return bool(int(hashlib.md5(speaker.encode(), usedforsecurity=False).hexdigest(), 16) % 2)


def _saying(renderer: Renderer) -> dict[str, Callable[[str], Samples]]:
    """Return the voices by name: the built-in ones, and a platform's where it is installed."""
    own = {
        name: partial(spoken_samples, renderer, timbre=timbre) for name, timbre in TIMBRES.items()
    }
    there = (
        {PLATFORM: partial(synthesise, voice=PLATFORM)} if PLATFORM in installed_voices() else {}
    )
    return {**own, **there}


def _understood(bench: Bench, texts: list[str], name: str, say: Callable[[str], Samples]) -> str:
    candidates = bench.candidates(expected_reply([NEVER], []))
    lost = total = whole = 0
    for text in texts:
        scene = _quiet(say(text))
        heard = " ".join(h.transcript for h in bench.hear(scene, candidates))
        due, written = _letters(text), _letters(heard)
        missed = sum(word not in written for word in due)
        lost, total, whole = lost + missed, total + len(due), whole + (missed == 0)
    low, high = wilson_interval(lost, total)
    share = f"{lost / total:.1%} of {total} words lost [{low:.1%}, {high:.1%}]"
    return f"{name}: {share}; {whole} of {len(texts)} challenges without a loss"


def _letters(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.lower().replace("-", " "))


def _quiet(samples: Samples) -> Samples:
    room = np.zeros(SAMPLE_RATE, np.int16)
    return np.concatenate([room, samples, room])


def _alone(bench: Bench, renderer: Renderer, texts: list[str], level: float) -> str:
    """Play every challenge in both voices late, at an item that expects something."""
    taken: list[str] = []
    count = 0
    for number, (text, timbre) in enumerate(product(texts, TIMBRES.values())):
        right, _, wrong = EXPECTED[number % len(EXPECTED)]
        wanted = expected_reply([right], [wrong])
        scene = stage_scene(
            Way.ECHO, np.zeros(0, np.int16), spoken_samples(renderer, text, timbre), level
        )
        heard = listen_in(scene, bench.recogniser, bench.candidates(wanted)).heard
        count += 1
        taken += [f"{text}: {h.text} ({h.confidence:.2f})" for h in heard if bench.acted(h, wanted)]
    low, high = wilson_interval(len(taken), count)
    told = "".join(f"\n  {line}" for line in taken)
    return f"late, {level:g} dB: taken {len(taken)} of {count} [{low:.1%}, {high:.1%}]{told}"
