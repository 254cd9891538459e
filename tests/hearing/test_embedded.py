"""The embedded recogniser on the recordings that come with the program."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import soundfile

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.model.candidates import CandidateSet
from callout.core.model.heard import Heard
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.hearing_verdict import judge_heard
from callout.hearing.embedded.evidence import FEATURES, plain_words
from callout.hearing.embedded.joint_decision import JointDecision
from callout.hearing.embedded.opinions import Opinion, contradicted_by_transcript
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.hearing.wav_file import WavSource
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate
from tests.hearing.recordings import (
    FOLDER,
    SOUNDS,
    WORDS,
    embedded,
    in_a_room,
    listening_for,
    recording,
)

pytestmark = pytest.mark.audio

TABLES, COMMANDS = default_tables(), default_commands()
CONTRARY = {
    "on": ("off",), "off": ("on",), "both on": ("both off",), "both open": ("both closed",),
    "closed and locked": ("open",), "full forward": ("full aft",), "up": ("down",),
    "down": ("up",), "left": ("right",), "right": ("left",),
    "one zero one three": ("1018",), "one zero one eight": ("1013",),
}  # fmt: skip
LISTED = {"one zero one three": "1013", "one zero one eight": "1018"}
REPLIES = [n for n, words in WORDS.items() if words in CONTRARY and "noise" not in n]


@pytest.fixture(scope="module")
def recogniser() -> Iterator[EmbeddedRecogniser]:
    made = embedded()
    yield made
    made.close()


def phrases_for(expect: str, against: tuple[str, ...]) -> CandidateSet:
    return candidates_for(expected_reply([expect], against), COMMANDS.groups(), TABLES)


def verdicts(
    recogniser: EmbeddedRecogniser, blocks: list[Samples], expect: str, against: tuple[str, ...]
) -> list[Verdict]:
    """Return the verdict on each utterance, as a session would have given it."""
    turns = Turns(Segmenter(), recogniser)
    turns.listen_for(phrases_for(expect, against))
    wanted = expected_reply([expect], against)
    heard = hear_all(blocks, turns)
    return [judge_heard(h, wanted, TABLES, COMMANDS).verdict for h in heard]


def blocks_of(samples: Samples) -> list[Samples]:
    return [samples[at : at + BLOCK] for at in range(0, len(samples), BLOCK)]


def hear(recogniser: EmbeddedRecogniser, samples: Samples) -> Heard:
    recogniser.accept(samples)
    return recogniser.decide()


@pytest.mark.parametrize("name", REPLIES)
def test_a_right_reply_is_accepted_and_never_for_its_contrary(
    recogniser: EmbeddedRecogniser, name: str
) -> None:
    words = WORDS[name]
    said = LISTED.get(words, words)
    blocks = blocks_of(in_a_room(name))
    assert Verdict.MATCH in verdicts(recogniser, blocks, said, CONTRARY[words])
    for other in CONTRARY[words]:
        assert Verdict.MATCH not in verdicts(recogniser, blocks, other, (said,))


@pytest.mark.parametrize("name", [n for n, words in WORDS.items() if words == "off"])
@pytest.mark.parametrize("expect", ["on", "both on"])
def test_off_is_never_on(recogniser: EmbeddedRecogniser, name: str, expect: str) -> None:
    """Also where nothing wrong is named and the contrary is the program's own idea."""
    for against in ((), ("off", "auto")):
        blocks = blocks_of(in_a_room(name))
        assert Verdict.MATCH not in verdicts(recogniser, blocks, expect, against)


@cache
def noises() -> dict[str, Samples]:
    rng = np.random.default_rng(17)
    n = 2 * SAMPLE_RATE
    time = np.arange(n) / SAMPLE_RATE
    burst = np.zeros(n)
    for at in (4000, 12_000, 20_000):
        burst[at : at + 1600] = rng.normal(0, 6000, 1600) * np.hanning(1600)
    waves = {f"tone {hz}": 8000 * np.sin(2 * math.pi * hz * time) for hz in (120, 440, 1000, 3000)}
    others = {
        "hiss": rng.normal(0, 1000, n),
        "bursts": burst,
        "sweep": 8000 * np.sin(2 * math.pi * (200 + 400 * time) * time),
        "clipped": np.where(time % 0.01 < 0.005, 32_767, -32_768),
        "one bit": rng.integers(0, 2, n),
        "silence": np.zeros(n),
    }
    made = {
        name: np.clip(x, -32768, 32767).astype(np.int16) for name, x in (waves | others).items()
    }
    return made | {name: recording(name) for name in SOUNDS}


@pytest.mark.parametrize("sound", list(noises()))
@pytest.mark.parametrize(("expect", "times"), [("on", 2), ("closed and locked", 1)])
def test_what_is_no_speech_is_never_sure(
    recogniser: EmbeddedRecogniser, sound: str, expect: str, times: int
) -> None:
    """Straight into the recogniser, past the voice activity detector, and twice in a row."""
    recogniser.listen_for(phrases_for(expect, ()))
    for _ in range(times):
        assert not hear(recogniser, noises()[sound]).sure


@pytest.mark.parametrize("length", [0, 1, 100, 959, 960, 961, 1600, 5000])
def test_snippets_of_any_length_are_safe(recogniser: EmbeddedRecogniser, length: int) -> None:
    recogniser.listen_for(listening_for("on", "off"))
    heard = hear(recogniser, recording("human/on.wav")[5000 : 5000 + length])
    assert 0.0 <= heard.confidence <= 1.0
    if length < 960:
        assert (heard.text, heard.sure) == ("", False)


FORMS = [(8000, 1), (11_025, 2), (16_000, 2), (22_050, 1), (44_100, 2), (48_000, 1), (48_000, 2)]


@pytest.fixture(scope="module")
def of_the_file(recogniser: EmbeddedRecogniser) -> Callable[[str, str, str], list[Verdict]]:
    """Return how the verdicts on a recording as it is are found, once."""

    @cache
    def found(name: str, expect: str, against: str) -> list[Verdict]:
        return verdicts(recogniser, list(WavSource(FOLDER / name).blocks()), expect, (against,))

    return found


@pytest.mark.parametrize("name", ["human/on.wav", "human/off.wav"])
@pytest.mark.parametrize(("rate", "channels"), FORMS)
def test_rate_and_channels_make_no_difference(
    recogniser: EmbeddedRecogniser,
    of_the_file: Callable[[str, str, str], list[Verdict]],
    tmp_path: Path,
    name: str,
    rate: int,
    channels: int,
) -> None:
    path = tmp_path / "other.wav"
    other = np.rint(convert_rate(recording(name).astype(np.float32), SAMPLE_RATE, rate)).astype(
        np.int16
    )
    soundfile.write(path, np.stack([other] * channels, axis=1), rate, "PCM_16")
    after = list(WavSource(path).blocks())
    said, contrary = WORDS[name], CONTRARY[WORDS[name]][0]
    for expect, against in ((said, contrary), (contrary, said)):
        wanted = of_the_file(name, expect, against)
        assert verdicts(recogniser, after, expect, (against,)) == wanted


def test_arming_again_and_for_other_items_keeps_working(recogniser: EmbeddedRecogniser) -> None:
    on, both = phrases_for("on", ("off",)), phrases_for("both open", ("both closed",))
    first = {}
    for _ in range(2):
        for candidates, name in ((on, "human/on.wav"), (both, "demo/both-open.wav")):
            recogniser.listen_for(candidates)
            recogniser.listen_for(candidates)
            heard = hear(recogniser, recording(name))
            assert (heard.text, heard.sure) == (WORDS[name], True)
            assert heard.confidence == pytest.approx(first.setdefault(name, heard.confidence))


def test_a_guess_keeps_the_samples_and_says_what_the_decision_says(
    recogniser: EmbeddedRecogniser,
) -> None:
    recogniser.listen_for(phrases_for("on", ("off",)))
    recogniser.accept(recording("human/on.wav"))
    guesses = [recogniser.guess() for _ in range(2)]
    decided = recogniser.decide()
    for guess in guesses:
        assert (guess.text, guess.sure) == (decided.text, decided.sure)
        assert guess.confidence == pytest.approx(decided.confidence)


SURE_OF_ALL = JointDecision(50.0, (0.0,) * len(FEATURES), 0.5, 0.5)
"""A decision that believes anything: what holds it back is then the contradiction alone."""


def contradicts(recogniser: EmbeddedRecogniser, opinion: Opinion) -> bool:
    return contradicted_by_transcript(opinion, recogniser.phrases.written)


@pytest.mark.parametrize("name", ["human/on.wav", "human/off.wav", "demo/both-open.wav"])
def test_a_transcript_that_names_another_candidate_is_never_sure(name: str) -> None:
    made = EmbeddedRecogniser(SURE_OF_ALL)
    made.listen_for(listening_for("held", "pushed"))
    assert hear(made, recording(name)).sure  # it believes anything
    opinion = made.opinion(recording(name))
    assert opinion is not None
    heard = plain_words(opinion.reading.text)
    assert heard
    # The words of the transcript become a candidate that is not the best: its sound is unlike.
    made.listen_for(listening_for("held", heard))
    best = made.opinion(recording(name))
    assert best is not None
    if best.scores[0].text == heard:
        swapped = type(best)(best.scores[::-1], best.evidence, best.reading)
        assert not contradicts(made, best)
        assert contradicts(made, swapped)
    else:
        assert not hear(made, recording(name)).sure
    made.close()


def test_contradiction_needs_every_word(recogniser: EmbeddedRecogniser) -> None:
    recogniser.listen_for(listening_for("both on", "both off", "off"))
    opinion = recogniser.opinion(recording("demo/both-on.wav"))
    assert opinion is not None
    scores = {s.text: s for s in opinion.scores}

    def against(best: str, transcript: str) -> bool:
        ranked = (scores[best], *(s for t, s in scores.items() if t != best))
        reading = type(opinion.reading)(transcript, -1.0)
        return contradicts(recogniser, type(opinion)(ranked, opinion.evidence, reading))

    assert against("both on", "Both off.")
    assert against("both on", "off")
    assert not against("both on", "Both on!")
    assert not against("both on", "")
    assert not against("both on", "both offs")
    assert not against("both on", "well, both off then")


def test_closed_it_hears_nothing() -> None:
    made = embedded()
    made.listen_for(listening_for("on", "off"))
    made.close()
    assert hear(made, recording("human/on.wav")) == Heard(text="", engine="embedded")


def test_words_it_cannot_write_are_named(recogniser: EmbeddedRecogniser) -> None:
    assert recogniser.unknown_words(["on", "flaps", "x-ray"]) == ()
