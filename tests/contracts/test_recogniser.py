"""What every recogniser must do, whatever engine is behind it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import pytest

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.heard import Heard
from callout.errors import CalloutError
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.ports.hearing import SAMPLE_RATE, Recogniser, Samples
from tests.hearing import korean

BLOCKS = (1, 160, 511, 512, 513, 4096, 16_000, 10**6)
"""Samples in a block; 512 and 16,000 divide the lengths below exactly."""


@dataclass(frozen=True)
class Engine:
    """A recogniser under test and speech that it understands."""

    recogniser: Recogniser
    spoken: Samples
    phrases: tuple[str, ...]
    """What ``spoken`` says, then other phrases."""


def _vosk() -> Engine:
    if korean.why_not():
        pytest.skip(korean.why_not())
    from callout.hearing.vosk_engine import VoskRecogniser

    folder = korean.model_folder()
    assert folder is not None
    return Engine(VoskRecogniser(folder), korean.say("라디오"), ("라디오", "음악", "아버지"))


def _embedded() -> Engine:
    from callout.bench import synth

    voices = synth.installed_voices()
    if not voices:
        pytest.skip("no synthetic voice is installed (apt-get install espeak-ng)")
    try:
        recogniser = EmbeddedRecogniser()
    except CalloutError as error:
        pytest.skip(f"{error.message} {error.hint}")
    spoken = synth.synthesise("armed", voices[0])
    return Engine(recogniser, spoken, ("armed", "disarmed", "closed"))


def _asking() -> Engine:
    from callout.hearing.second_opinion.asking import AskingRecogniser
    from callout.hearing.second_opinion.published import INSTALL, MODEL, package_file

    if package_file(MODEL) is None:
        pytest.skip(f"the weights of the second opinion are not installed ({INSTALL})")
    first = _embedded()
    assert isinstance(first.recogniser, EmbeddedRecogniser)
    return replace(first, recogniser=AskingRecogniser(first.recogniser))


ENGINES: dict[str, Callable[[], Engine]] = {
    "vosk": _vosk,
    "embedded": _embedded,
    "with a second opinion": _asking,
}
MARKS = {
    "vosk": pytest.mark.vosk,
    "embedded": pytest.mark.audio,
    "with a second opinion": pytest.mark.audio,
}


@pytest.fixture(scope="module", params=[pytest.param(n, marks=MARKS[n]) for n in ENGINES])
def engine(request: pytest.FixtureRequest) -> Iterator[Engine]:
    made = ENGINES[request.param]()
    yield made
    made.recogniser.close()
    made.recogniser.close()


@pytest.fixture
def armed(engine: Engine) -> Engine:
    engine.recogniser.reset()
    engine.recogniser.listen_for(korean.listening_for(*engine.phrases))
    return engine


def hear(recogniser: Recogniser, samples: Samples, block: int = 512) -> Heard:
    for start in range(0, len(samples), block):
        recogniser.accept(samples[start : start + block])
    return recogniser.decide()


def nothing(heard: Heard) -> bool:
    return heard.text == "" and not heard.sure


def seconds(length: float) -> int:
    return round(length * SAMPLE_RATE)


@pytest.mark.parametrize("length", [0, 1, 511, 512, 1024, seconds(1), seconds(3)])
def test_silence_is_nothing(armed: Engine, length: int) -> None:
    assert nothing(hear(armed.recogniser, np.zeros(length, np.int16)))


def test_no_samples_at_all_is_nothing(armed: Engine) -> None:
    assert nothing(armed.recogniser.decide())
    armed.recogniser.accept(np.zeros(0, np.int16))
    assert nothing(armed.recogniser.decide())


def test_the_right_phrase_is_sure(armed: Engine) -> None:
    heard = hear(armed.recogniser, armed.spoken)
    assert (heard.text, heard.sure) == (armed.phrases[0], True)


@pytest.mark.parametrize("block", BLOCKS)
def test_block_size_makes_no_difference(armed: Engine, block: int) -> None:
    whole = hear(armed.recogniser, armed.spoken, len(armed.spoken))
    blocks = hear(armed.recogniser, armed.spoken, block)
    assert (blocks.text, blocks.sure, blocks.transcript) == (
        whole.text,
        whole.sure,
        whole.transcript,
    )
    assert blocks.confidence == pytest.approx(whole.confidence, abs=0.05)


def test_a_view_with_gaps_in_memory_is_taken(armed: Engine) -> None:
    stereo = np.stack([armed.spoken, np.zeros_like(armed.spoken)], axis=1)
    assert hear(armed.recogniser, stereo[:, 0]).text == armed.phrases[0]


def test_reset_forgets(armed: Engine) -> None:
    first = hear(armed.recogniser, armed.spoken)
    armed.recogniser.accept(armed.spoken[: len(armed.spoken) // 2])
    armed.recogniser.reset()
    assert nothing(armed.recogniser.decide())
    armed.recogniser.accept(armed.spoken)
    armed.recogniser.reset()
    again = hear(armed.recogniser, armed.spoken)
    assert (again.text, again.sure) == (first.text, first.sure)
    assert again.confidence == pytest.approx(first.confidence, abs=0.01)


def test_a_decision_ends_the_utterance(armed: Engine) -> None:
    assert hear(armed.recogniser, armed.spoken).text
    assert nothing(armed.recogniser.decide())


def test_arming_for_another_item_drops_the_phrase(armed: Engine) -> None:
    armed.recogniser.accept(armed.spoken)
    armed.recogniser.listen_for(korean.listening_for(*armed.phrases[1:]))
    assert nothing(armed.recogniser.decide())
    heard = hear(armed.recogniser, armed.spoken)
    assert not (heard.sure and heard.text in armed.phrases)


def test_nothing_to_listen_for_is_never_sure(armed: Engine) -> None:
    armed.recogniser.listen_for(CandidateSet("empty", ()))
    assert not hear(armed.recogniser, armed.spoken).sure
    no_forms = Candidate("x", CandidateRole.ACCEPTED, ())
    armed.recogniser.listen_for(CandidateSet("formless", (no_forms,)))
    assert not hear(armed.recogniser, armed.spoken).sure


def _sounds() -> dict[str, Samples]:
    rng = np.random.default_rng(11)
    time = np.arange(seconds(2)) / SAMPLE_RATE
    return {
        "hiss": rng.normal(0, 300, seconds(2)).astype(np.int16),
        "loud hiss": rng.normal(0, 9000, seconds(2)).clip(-32768, 32767).astype(np.int16),
        "tone": (8000 * np.sin(2 * np.pi * 440 * time)).astype(np.int16),
        "clipped": np.where(time % 0.01 < 0.005, 32767, -32768).astype(np.int16),
        "clicks": np.where(np.arange(seconds(2)) % 3200 == 0, 30_000, 0).astype(np.int16),
        "offset": np.full(seconds(2), 12_000, np.int16),
    }


@pytest.mark.parametrize("sound", list(_sounds()))
def test_noise_is_never_sure(armed: Engine, sound: str) -> None:
    assert not hear(armed.recogniser, _sounds()[sound]).sure


def test_the_report_is_well_formed(armed: Engine) -> None:
    heard = hear(armed.recogniser, armed.spoken)
    assert 0.0 <= heard.confidence <= 1.0
    assert 0.0 <= heard.start <= heard.end <= len(armed.spoken) / SAMPLE_RATE + 0.5
    assert heard.compute_ms >= 0.0
    assert heard.engine
    assert heard.transcript


def test_alternatives_are_shares_of_the_evidence(armed: Engine) -> None:
    heard = hear(armed.recogniser, armed.spoken)
    shares = [share for _, share in heard.alternatives]
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert sum(shares) <= 1.0 + 1e-6
    assert shares == sorted(shares, reverse=True)
    assert heard.text not in {text for text, _ in heard.alternatives}
    assert heard.alternatives or armed.recogniser.name != "embedded"


def test_unknown_words_keep_their_order(armed: Engine) -> None:
    words = [*armed.phrases, "qqzzx", "", *armed.phrases]
    unknown = armed.recogniser.unknown_words(words)
    rest = iter(words)
    assert all(word in rest for word in unknown)
    assert not set(unknown) & set(armed.phrases)
