"""The measurements of the built-in voice run, and their scenes are what they say."""

from __future__ import annotations

import numpy as np
import pytest
from click.testing import CliRunner

from callout.bench.own_voice_scenes import Cue
from callout.bench.upkeep import sbom
from callout.bench.voice.rooms import Room
from callout.bench.voice.talking_over import talking_scene
from callout.bench.voice.voices import command, shipped_challenges, spoken_samples
from callout.speaking.embedded.rendering import FIRST, Renderer
from tests.hearing.recordings import recording

RENDERER = Renderer.shipped()


def test_challenges_are_those_of_the_shipped_lists_each_once() -> None:
    texts = shipped_challenges()
    assert len(texts) == len(set(texts)) > 250
    assert "Parking brake" in texts


@pytest.mark.audio
@pytest.mark.parametrize("part", ["understood", "over"])
def test_each_part_runs(part: str) -> None:
    most = "6" if part == "over" else "1"
    result = CliRunner().invoke(command, ["--only", part, "--most", most])
    assert result.exit_code == 0, result.output
    assert " of " in result.output
    if part != "understood":
        assert "taken for a reply 0 of" in result.output


def test_a_reply_lies_within_the_last_challenge() -> None:
    texts = [spoken_samples(RENDERER, "Parking brake", FIRST)] * 2
    room, nobody = Room(0.02, 0.3), np.zeros(0, np.int16)
    alone = talking_scene(room, texts, nobody, 0.0)
    person = talking_scene(room, texts, recording("human/right.wav"), 0.0)
    spoken = [at for at, cue in alone.cues if cue is Cue.VOICE]
    assert alone.cues == person.cues
    differ = np.flatnonzero(alone.samples != person.samples)
    assert spoken[-1] < differ[0] < spoken[-1] + 16_000


def test_the_bill_names_the_weights_that_are_carried() -> None:
    carried = [sbom._carried(*row) for row in sbom.CARRIED]
    assert {"hibari-tts", "moonshine-voice"} <= {one["name"] for one in carried}
    assert all(one["type"] == "machine-learning-model" and one["licenses"] for one in carried)
