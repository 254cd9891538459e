"""Replies mixed with the tool's own challenge, heard by the real ear."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

import numpy as np

from callout.app.listening.recordings import expected_reply
from callout.bench.corpora import BOTH, OPPOSITE, CorpusKind, CorpusRecording
from callout.bench.hearing_trials import Bench, HearingTrial
from callout.bench.own_voice_scenes import Scene, Way, stage_scene
from callout.bench.phrases import CHALLENGES, VOICES
from callout.bench.staged import listen_in
from callout.bench.synth import installed_voices, synthesise
from callout.core.sentences.commands import benches as sentences
from callout.errors import EngineUnavailable

LEVELS = (-20.0, -10.0, -5.0)
"""The challenge relative to the reply in dB."""


def condition_name(way: Way, level: float) -> str:
    """Return the name under which trials are counted."""
    return f"{way.value}, {level:g} dB"


def contrary_condition(name: str) -> str:
    """Return the condition of the second hearing, which expects the opposite."""
    return f"{name}, contrary"


def challenge_condition(name: str) -> str:
    """Return the condition of the challenge without a reply."""
    return f"{name}, alone"


def own_voice_over(bench: Bench, replies: Iterable[CorpusRecording]) -> Iterator[HearingTrial]:
    """Yield trials of each reply in each way and level, heard twice, then of challenges alone.

    Raises EngineUnavailable where no voice is installed.
    """
    there = _voices_here()
    for number, reply in enumerate(replies):
        voice = there[number % len(there)]
        asked, earlier = (CHALLENGES[(number // len(there) + n) % len(CHALLENGES)] for n in (0, 1))
        said, before = synthesise(asked, voice), synthesise(earlier, voice)
        for way, level in product(Way, LEVELS):
            scene, name = (
                stage_scene(way, reply.samples, said, level, before),
                condition_name(way, level),
            )
            yield _heard(bench, reply, scene, name, reply.said, asked)
            other = OPPOSITE[reply.said]
            yield _heard(bench, reply, scene, contrary_condition(name), other, asked)
    yield from challenges_alone(bench)


def challenges_alone(bench: Bench) -> Iterator[HearingTrial]:
    """Yield trials of every challenge in every voice, in each way and level, nobody replying."""
    for number, (voice, text) in enumerate(product(_voices_here(), CHALLENGES)):
        sound = synthesise(text, voice)
        one = CorpusRecording(text, voice, CorpusKind.NOISE, "", BOTH, sound)
        for way, level in product(Way, LEVELS):
            scene = stage_scene(way, np.zeros(0, np.int16), sound, level)
            expect = BOTH[number % len(BOTH)]
            yield _heard(
                bench, one, scene, challenge_condition(condition_name(way, level)), expect, text
            )


def _voices_here() -> list[str]:
    there = [v for v in VOICES if v in installed_voices()]
    if not there:
        hint = "On Debian or Ubuntu: apt-get install flite espeak-ng"
        raise EngineUnavailable(sentences.NO_SYNTHETIC_VOICE, hint)
    return there


def _heard(
    bench: Bench,
    recording: CorpusRecording,
    scene: Scene,
    name: str,
    expect: str,
    asked: str,
) -> HearingTrial:
    """Hear a scene as at an item whose challenge is ``asked``: it may be echoed in the reply."""
    named = expected_reply([expect], [w for w in recording.among if w != expect])
    wanted = replace(named, challenge=asked)
    found = listen_in(scene, bench.recogniser, bench.candidates(wanted))
    return bench.outcome(recording, name, expect, found.heard, wanted, spoke_up=found.spoke_up)
