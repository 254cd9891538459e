"""The real ear and recogniser on recordings while the tool's own voice is in the air.

Scenes: see ``callout/bench/own_voice_scenes.py``. What is said is a single human word; the tool
says "avionics master".
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.bench.own_voice_scenes import Cue, Scene, Way, speech_bounds, stage_scene
from callout.bench.staged import listen_in
from callout.core.model.heard import Heard
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.hearing_verdict import judge_heard
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.ports.hearing import SAMPLE_RATE
from tests.hearing.recordings import embedded, recording

pytestmark = pytest.mark.audio

TOOL = "drill/avionics-master.wav"
NOBODY = np.zeros(0, np.int16)
WORDS = ("on", "off", "left", "right", "up", "down")


@pytest.fixture(scope="module")
def recogniser() -> Iterator[EmbeddedRecogniser]:
    made = embedded()
    yield made
    made.close()


def heard_in(
    scene: Scene, recogniser: EmbeddedRecogniser, expect: str
) -> tuple[list[Heard], list[Verdict], bool]:
    """Return what was heard, what a session makes of it, and whether the tool is told to stop."""
    tables, commands = default_tables(), default_commands()
    wanted = expected_reply([expect], [w for w in WORDS if w != expect])
    told = listen_in(scene, recogniser, candidates_for(wanted, commands.groups(), tables, "item"))
    verdicts = [judge_heard(h, wanted, tables, commands).verdict for h in told.heard]
    return told.heard, verdicts, told.spoke_up


def under_the_challenge(word: str, then: str) -> Scene:
    """Return ``word`` said while the tool speaks (the ear not yet armed), and ``then`` after it."""
    tool = recording(TOOL).astype(np.float64)
    first, second = (recording(f"human/{w}.wav").astype(np.float64) for w in (word, then))
    armed = SAMPLE_RATE // 2 + len(tool) + SAMPLE_RATE // 4
    sound = np.zeros(armed + 3 * SAMPLE_RATE)
    sound[SAMPLE_RATE // 2 : SAMPLE_RATE // 2 + len(tool)] += tool
    ends = speech_bounds(first)[1]
    early = armed - SAMPLE_RATE // 20 - ends  # over the tool's last word and the rest after it
    sound[early : early + ends] += first[:ends]
    sound[armed + SAMPLE_RATE // 2 : armed + SAMPLE_RATE // 2 + len(second)] += second
    samples = np.clip(sound, -32_768, 32_767).astype(np.int16)
    finished = SAMPLE_RATE // 2 + len(tool)
    return Scene(samples, ((0, Cue.VOICE), (finished, Cue.SILENT), (armed, Cue.LISTEN)))


@pytest.mark.parametrize("stray", ["off", "right"])
def test_what_is_said_before_the_ear_is_armed_is_no_reply_and_what_follows_is(
    recogniser: EmbeddedRecogniser, stray: str
) -> None:
    found, verdicts, spoke_up = heard_in(under_the_challenge(stray, "on"), recogniser, "on")
    assert [h.text for h in found if h.sure] == ["on"]
    assert verdicts == [Verdict.MATCH]
    assert not spoke_up


@pytest.mark.parametrize("level", [-20.0, -10.0])
def test_a_reply_into_the_tools_late_echo_is_heard(
    recogniser: EmbeddedRecogniser, level: float
) -> None:
    scene = stage_scene(Way.ECHO, recording("human/down.wav"), recording(TOOL), level)
    assert heard_in(scene, recogniser, "down")[1] == [Verdict.MATCH]
    assert heard_in(scene, recogniser, "up")[1] == [Verdict.MISMATCH]


def test_a_reply_that_hardly_stands_above_the_echo_is_asked_again(
    recogniser: EmbeddedRecogniser,
) -> None:
    scene = stage_scene(Way.ECHO, recording("human/down.wav"), recording(TOOL), -5.0)
    for expect in ("down", "up"):
        assert heard_in(scene, recogniser, expect)[1] == [Verdict.UNCLEAR]


@pytest.mark.parametrize(
    "word", ["both-on", "closed-and-locked", "off-1", "on-1", "locked-and-fastened"]
)
def test_the_last_word_of_a_challenge_that_comes_late_is_no_reply(
    recogniser: EmbeddedRecogniser, word: str
) -> None:
    """Words that would be replies, in the tool's mouth: their ends are what is left to hear."""
    scene = stage_scene(Way.ECHO, NOBODY, recording(f"demo/{word}.wav"), -5.0)
    assert not any(h.sure for h in heard_in(scene, recogniser, "on")[0])


def test_with_a_headset_a_person_barges_in_and_the_tool_is_told_to_stop(
    recogniser: EmbeddedRecogniser,
) -> None:
    scene = stage_scene(Way.HEADSET, recording("human/on.wav"), recording(TOOL), -10.0)
    _, verdicts, spoke_up = heard_in(scene, recogniser, "on")
    assert verdicts == [Verdict.MATCH]
    assert spoke_up
    _, verdicts, spoke_up = heard_in(scene, recogniser, "off")
    assert verdicts == [Verdict.MISMATCH]
    assert spoke_up


def test_it_is_the_gate_that_keeps_the_tools_voice_out(recogniser: EmbeddedRecogniser) -> None:
    scene = stage_scene(Way.HEADSET, NOBODY, recording(TOOL), -10.0)
    ungated = Scene(scene.samples, ((0, Cue.LISTEN),))
    assert heard_in(ungated, recogniser, "on")[0]
    stray = under_the_challenge("right", "on")
    assert len(heard_in(Scene(stray.samples, ((0, Cue.LISTEN),)), recogniser, "on")[0]) > 1


@pytest.mark.parametrize("level", [-20.0, -10.0, -5.0, 0.0])
@pytest.mark.parametrize("way", list(Way))
def test_the_tools_own_voice_alone_does_nothing(
    recogniser: EmbeddedRecogniser, way: Way, level: float
) -> None:
    found, verdicts, spoke_up = heard_in(
        stage_scene(way, NOBODY, recording(TOOL), level), recogniser, "on"
    )
    assert not any(h.sure for h in found)
    assert set(verdicts) <= {Verdict.UNCLEAR}
    assert not spoke_up
    if way is Way.HEADSET:
        assert not found  # nothing is even asked again
