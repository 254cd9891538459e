"""A second opinion where the first is in doubt: on real recordings, with the real weights."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import pytest

from callout.bench.acoustic.conditions import conditions
from callout.core.model.heard import Heard
from callout.errors import EngineUnavailable, ModelNotFound
from callout.hearing.chain.reading import ChainReader, ChainReading
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.second_opinion.asking import AskingRecogniser
from callout.hearing.second_opinion.published import INSTALL, MODEL, package_file
from callout.hearing.second_opinion.questions import Asked, installed
from callout.hearing.second_opinion.text_scorer import TextReading, TextScorer
from callout.hearing.second_opinion.third import ThirdDecision
from callout.hearing.second_opinion.weighing import NAMES, SecondDecision
from callout.ports.hearing import Recogniser, Samples
from tests.hearing.recordings import SOUNDS, embedded, in_a_room, listening_for, recording

pytestmark = pytest.mark.audio
WORDS = ("down", "left", "off", "on", "right", "up")
OTHERS = ("yes", "no", "stop", "go")
SURROUNDINGS = {c.name: c for c in conditions([recording("human/coffee.wav")])}


def _absent() -> Asked:
    raise EngineUnavailable("The weights of the second opinion are not installed.", INSTALL)


class Failing(TextScorer):
    """One that fails whenever it is asked."""

    def __init__(self) -> None:
        """Needs no weights."""

    def read(self, samples: object, forms: object, wanted: object = None) -> TextReading:
        raise MemoryError("no memory is left")


@pytest.fixture(scope="module")
def first() -> EmbeddedRecogniser:
    return embedded()


@pytest.fixture(scope="module")
def asking() -> Iterator[AskingRecogniser]:
    if package_file(MODEL) is None:
        pytest.skip(f"the weights of the second opinion are not installed ({INSTALL})")
    made = AskingRecogniser(embedded())
    yield made
    made.close()


def hear(recogniser: Recogniser, samples: Samples, *phrases: str) -> Heard:
    recogniser.listen_for(listening_for(*phrases))
    recogniser.accept(samples)
    return replace(recogniser.decide(), compute_ms=0.0)


def as_heard(word: str, surrounding: str, seed: int, folder: str = "human") -> Samples:
    return SURROUNDINGS[surrounding].make(in_a_room(f"{folder}/{word}.wav"), seed)


def _failing() -> Asked:
    return Asked(Failing(), None)


@pytest.mark.parametrize("load", [_absent, _failing])
def test_without_it_everything_is_as_before(
    first: EmbeddedRecogniser, load: Callable[[], Asked]
) -> None:
    alone = AskingRecogniser(embedded(), load=load)
    for word in WORDS[:3]:
        for sound in (recording(f"human/{word}.wav"), as_heard(word, "vehicle 5 dB", 1)):
            assert hear(alone, sound, *WORDS) == hear(first, sound, *WORDS)
    assert alone.asked == 0


def test_without_the_third_the_second_answers_alone(
    asking: AskingRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lost() -> None:
        raise ModelNotFound("The third opinion's weights are missing.", "reinstall")

    monkeypatch.setattr(ChainReader, "shipped", lost)
    asked = installed()
    assert asked.third is None
    alone = AskingRecogniser(embedded(), load=lambda: asked)
    sound = as_heard("down", "far, 3 m", 1)
    assert hear(alone, sound, *WORDS, *OTHERS).text == "down"
    assert alone.asked == 1


def test_a_sure_reply_does_not_wait_for_it(asking: AskingRecogniser) -> None:
    before = asking.asked
    assert hear(asking, recording("human/on.wav"), *WORDS).sure
    assert asking.asked == before


@pytest.mark.parametrize("sound", SOUNDS)
def test_what_is_no_speech_stays_unsure(asking: AskingRecogniser, sound: str) -> None:
    assert not hear(asking, recording(sound), *WORDS, *OTHERS).sure


def test_other_speech_stays_unsure(asking: AskingRecogniser) -> None:
    assert not hear(asking, recording("human/coffee.wav"), *WORDS, *OTHERS).sure


def test_what_is_shipped_names_every_number() -> None:
    shipped = SecondDecision.shipped()
    assert len(shipped.weights) == len(NAMES)
    assert np.isfinite(shipped.weights).all()
    assert 0.0 < shipped.plausible < 0.5 <= shipped.apart < shipped.threshold < 1.0


RIGHT = (("down", "far, 3 m", 1),)
"""Replies of which the first is not sure though it hears them rightly."""


@pytest.mark.parametrize(("word", "surrounding", "seed"), RIGHT)
def test_a_doubtful_right_reply_becomes_sure(
    first: EmbeddedRecogniser, asking: AskingRecogniser, word: str, surrounding: str, seed: int
) -> None:
    sound = as_heard(word, surrounding, seed)
    alone, together = (hear(r, sound, *WORDS, *OTHERS) for r in (first, asking))
    assert not alone.sure
    assert (together.text, together.sure, together.transcript) == (word, True, alone.transcript)
    assert word not in {text for text, _ in together.alternatives}


@pytest.mark.parametrize(
    ("word", "surrounding", "seed"),
    [*RIGHT, ("up", "echo", 1), ("off", "vehicle 10 dB", 1), ("right", "six near 10 dB", 2)],
)
def test_another_reply_in_its_place_does_not(
    asking: AskingRecogniser, word: str, surrounding: str, seed: int
) -> None:
    """What was said is none of the phrases; whichever leads is wrong."""
    rest = [w for w in (*WORDS, *OTHERS) if w != word]
    assert not hear(asking, as_heard(word, surrounding, seed), *rest).sure


def test_what_was_begun_early_is_decided_alike(asking: AskingRecogniser) -> None:
    word, surrounding, seed = RIGHT[0]
    sound = as_heard(word, surrounding, seed)
    whole = hear(asking, sound, *WORDS, *OTHERS)
    asking.listen_for(listening_for(*WORDS, *OTHERS))
    asking.accept(sound)
    assert not asking.guess().sure
    assert replace(asking.decide(), compute_ms=0.0) == whole


@pytest.mark.parametrize("alike", ["", "locked and unfastened"])
def test_a_long_phrase_that_sounds_like_no_other_needs_less(
    asking: AskingRecogniser, alike: str
) -> None:
    """With another one close to it among the phrases, it needs as much as any."""
    sound = as_heard("locked-and-fastened", "six near 10 dB", 7, "demo")
    others = [*WORDS, *([alike] if alike else [])]
    heard = hear(asking, sound, "locked and fastened", *others)
    assert (heard.text, heard.sure) == ("locked and fastened", not alike)


def test_a_long_number_is_left_to_the_first(asking: AskingRecogniser) -> None:
    from callout.app.listening.recordings import expected_reply
    from callout.app.shared.command_tables import default_commands
    from callout.app.shared.tables import default_tables
    from callout.core.understanding.candidate_sets import candidates_for

    before = asking.asked
    tables, groups = default_tables(), default_commands().groups()
    asking.listen_for(candidates_for(expected_reply(["1018"], []), groups, tables))
    asking.accept(SURROUNDINGS["vehicle 5 dB"].make(in_a_room("demo/one-zero-one-eight.wav"), 3))
    asking.decide()
    assert asking.asked == before


def test_a_sure_word_is_asked_again_if_the_third_hears_its_contrary(
    asking: AskingRecogniser,
) -> None:
    """The same whether it was guessed at before; a longer phrase is never questioned so."""
    always = replace(ThirdDecision.shipped(), certain=2.0, contrary_ahead=-99.0, contrary_gap=-99.0)
    strict = AskingRecogniser(embedded(), third=always)
    sounds = ("human/on", "demo/closed-and-locked")
    for name, text, again in zip(sounds, ("on", "closed and locked"), (True, False), strict=True):
        sound = recording(f"{name}.wav")
        assert hear(asking, sound, text, "off", "unlocked").sure
        strict.listen_for(listening_for(text, "off", "unlocked"))
        strict.accept(sound)
        guessed, decided = strict.guess(), strict.decide()
        assert (guessed.sure, decided.sure) == (not again, not again)
        assert guessed.text == decided.text == text
    strict.close()


def test_a_third_that_fails_speaks_against_nothing(asking: AskingRecogniser) -> None:
    class Broken(ChainReader):
        def __init__(self) -> None:
            """Needs no weights."""

        def read(self, samples: object, forms: object) -> ChainReading:
            raise MemoryError("no memory is left")

    second = TextScorer.installed()
    questioned = replace(ThirdDecision.shipped(), certain=2.0)
    alone = AskingRecogniser(embedded(), third=questioned, load=lambda: Asked(second, Broken()))
    assert hear(alone, recording("human/on.wav"), "on", "off").sure
