"""The voice in the package: against its publisher's own, against a recogniser, and as a speaker."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import pytest

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.heard import Heard
from callout.errors import DeviceNotFound, EngineUnavailable
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.segmenter import Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.ports.hearing import SAMPLE_RATE
from callout.rates import convert_rate
from callout.speaking.embedded import rendering
from callout.speaking.embedded.network import VoiceNetwork
from callout.speaking.embedded.rendering import FIRST, SECOND, Renderer, Timbre, sentence_pause
from callout.speaking.embedded.waveform import RATE
from callout.speaking.embedded.weights import Floats, VoiceWeights
from callout.speaking.embedded_voice import EmbeddedVoice
from callout.speaking.speakers import speaker_of
from callout.speaking.voice import ChildVoice

RENDERER = Renderer.shipped()
CHALLENGES = (
    "Altimeter", "Parking brake", "Fuel quantity", "Flight controls", "Transponder", "Flaps",
    "Landing gear", "Auxiliary fuel pump", "Cabin pressure", "Trim", "Autopilot", "Beacon",
)  # fmt: skip
SENTENCES = (
    "Before taxi checklist complete.",
    "Checklist on hold.",
    "Nothing is left.",
    "Flight level one eight zero.",
)


def _said(text: str, wpm: float = 180, timbre: Timbre = FIRST) -> Floats:
    parts = [p for s in RENDERER.sentences(text, wpm, timbre) for p in (s, sentence_pause())]
    return np.concatenate(parts)


@pytest.fixture(scope="module")
def turns() -> Iterator[Turns]:
    made = Turns(Segmenter(), EmbeddedRecogniser())
    yield made
    made.close()


def _heard(turns: Turns, sound: Floats, phrases: Sequence[str]) -> Heard:
    """Return what the recogniser makes of a sound that may be one of the phrases."""
    role = CandidateRole.ACCEPTED
    known = tuple(Candidate(text=t.lower(), role=role, forms=(t.lower(),)) for t in phrases)
    turns.listen_for(CandidateSet("item", known))
    spoken = np.round(convert_rate(sound, RATE, SAMPLE_RATE) * 32_767).astype(np.int16)
    quiet = np.zeros(SAMPLE_RATE, np.int16)
    whole = np.concatenate([quiet, spoken, quiet])
    (heard,) = hear_all((whole[n : n + 512] for n in range(0, len(whole), 512)), turns)
    return heard


@pytest.mark.audio
@pytest.mark.parametrize("timbre", [FIRST, SECOND], ids=["first", "second"])
def test_the_recogniser_tells_each_challenge_from_the_others(timbre: Timbre, turns: Turns) -> None:
    for text in CHALLENGES:
        heard = _heard(turns, _said(f"{text}?", timbre=timbre), CHALLENGES)
        assert heard.text == text.lower(), heard.transcript


@pytest.mark.audio
def test_the_recogniser_writes_down_whole_sentences(turns: Turns) -> None:
    due = [word for text in SENTENCES for word in text.lower().strip(".").split()]
    heard = " ".join(_heard(turns, _said(t), ["xylophone"]).transcript for t in SENTENCES)
    written = heard.lower().replace("180", "one eight zero").replace("1-8-0", "one eight zero")
    assert sum(word not in written for word in due) <= len(due) // 10, heard


def test_it_computes_what_its_publisher_s_file_computes() -> None:
    onnxruntime = pytest.importorskip("onnxruntime")
    pytest.importorskip("onnx")
    pytest.importorskip("hibari")
    from callout.bench.fitting import voice_weights

    folder = voice_weights.voice_folder()
    taken, shipped = voice_weights.voice_weights(folder), VoiceWeights.shipped().arrays
    assert taken.keys() == shipped.keys()
    assert all(np.array_equal(taken[name], shipped[name]) for name in taken)
    session = onnxruntime.InferenceSession(str(folder / "hibari.onnx"))
    signs = VoiceWeights.shipped().signs
    ids = [0, *(signs[c] for c in "fjˈuᵊl kwˈɑntəTi, bˈOθ tˈæŋks?"), 0]
    feed = {"ids": np.array([ids]), "speed": np.array([1.0], np.float32)}
    theirs = [part[0] for part in session.run(None, feed)]
    ours = VoiceNetwork(VoiceWeights.shipped()).spectra(ids, 1.0)
    # 8-bit activations there: a frame more or less, a few hertz, a tenth of a neper
    count = min(len(ours.pitch), len(theirs[5]))
    assert abs(len(ours.pitch) - len(theirs[5])) <= 4
    assert np.abs(ours.pitch[:count] - theirs[5][:count]).mean() < 5
    for part, other in ((ours.harmonic, theirs[0]), (ours.noise, theirs[2])):
        assert np.abs(part[:count] - other.T[:count]).mean() < 0.15


def test_the_same_words_sound_the_same_and_at_one_level() -> None:
    for text in ("Altimeter?", "Flaps."):
        one = _said(text)
        assert np.array_equal(one, _said(text))
        assert np.array_equal(
            one, np.concatenate([*Renderer.shipped().sentences(text, 180), sentence_pause()])
        )
        assert np.abs(one).max() <= 0.96
        loud = one[np.abs(one) > 0.003]
        assert 0.05 < np.sqrt(np.mean(loud**2)) < 0.12


def test_the_rate_and_the_second_voice_are_heard() -> None:
    slow, usual, fast = (len(_said("Fuel quantity, both tanks.", wpm)) for wpm in (110, 180, 300))
    assert slow > 1.3 * usual
    assert usual > 1.3 * fast
    assert _pitch(_said("Altimeter.")) > 1.4 * _pitch(_said("Altimeter.", timbre=SECOND))


def _pitch(sound: Floats) -> float:
    """Return the most usual pitch in hertz, from where each frame is most like itself."""
    found = []
    for start in range(0, len(sound) - 1200, 600):
        frame = sound[start : start + 1200] - sound[start : start + 1200].mean()
        like = np.correlate(frame, frame, "full")[1200 - 1 :]
        lag = 60 + int(like[60:400].argmax())
        if like[lag] > 0.5 * like[0] > 0.1:
            found.append(RATE / lag)
    return float(np.median(found))


def test_what_is_kept_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rendering, "MOST_BYTES", 200_000)
    renderer = Renderer.shipped()
    for text in (*CHALLENGES, *CHALLENGES):
        list(renderer.sentences(text, 180))
    assert renderer._bytes == sum(s.nbytes for s in renderer._kept.values()) <= 200_000
    assert 0 < len(renderer._kept) < len(CHALLENGES)


class Kept:
    """An outlet that keeps what it plays; waits, if told to, until it is cut."""

    name = "kept"

    def __init__(self, *, endless: bool = False, broken: int = 0) -> None:
        self.sounds: list[Floats] = []
        self.begun = threading.Event()
        self.endless, self.broken = endless, broken

    def play(self, parts: Iterable[Floats], rate: int, cut: threading.Event) -> bool:
        assert rate == RATE
        self.sounds.append(np.concatenate([np.zeros(0, np.float32), *parts]))
        self.begun.set()
        if self.broken:
            self.broken -= 1
            raise DeviceNotFound("The speaker has gone.", "Plug it in.")
        if self.endless:
            cut.wait(0.5)
        return not cut.is_set()

    def close(self) -> None:
        """Nothing to let go."""


def _voice(outlet: Kept, **facts: object) -> EmbeddedVoice:
    return EmbeddedVoice(outlet=lambda: outlet, renderer=lambda: RENDERER, **facts)  # type: ignore[arg-type]


def test_it_says_what_it_is_told_and_prepares_what_may_come() -> None:
    outlet = Kept()
    voice = _voice(outlet, volume=0.5)
    voice.prepare(["Mixture rich?"])
    assert voice.say("Check. Mixture rich?")
    assert voice.say("...")
    expected_sound = np.concatenate(
        [_said("Check.")[: -len(sentence_pause())], sentence_pause(), _said("Mixture rich?")]
    )
    assert np.allclose(outlet.sounds[0], 0.5 * expected_sound[: -len(sentence_pause())])
    voice.close()
    assert not voice.say("Beacon")


def test_stop_cuts_at_once_and_is_no_failure() -> None:
    outlet = Kept(endless=True)
    voice = _voice(outlet)
    voice.stop()  # nothing is spoken
    for _ in range(3):
        outlet.begun.clear()
        threading.Thread(target=lambda: (outlet.begun.wait(30), voice.stop())).start()
        assert not voice.say("Altimeter?")
    assert not voice.failure
    voice.close()


def test_a_speaker_that_fails_once_is_tried_again_and_twice_is_told() -> None:
    voice = _voice(Kept(broken=1))
    assert not voice.say("Beacon")
    assert voice.say("Beacon")
    voice.close()
    voice = _voice(Kept(broken=2))
    assert [voice.say("Beacon") for _ in range(3)] == [False, False, False]
    assert (voice.failure, voice.hint) == ("The speaker has gone.", "Plug it in.")
    voice.revive()
    assert voice.say("Beacon")
    voice.close()


@pytest.mark.parametrize("part", ["outlet", "renderer"])
def test_what_cannot_be_loaded_is_told_in_its_own_words(part: str) -> None:
    def refuse() -> None:
        raise EngineUnavailable("There is nothing to hear it with.", "Plug one in.")

    parts = {"outlet": Kept, "renderer": lambda: RENDERER} | {part: refuse}
    voice = EmbeddedVoice(**parts)  # type: ignore[arg-type]
    assert not voice.say("Beacon")
    assert not voice.say("Beacon")
    assert voice.failure == "There is nothing to hear it with."
    voice.close()


def test_settings_name_the_voices() -> None:
    for name, timbre in (("", FIRST), ("Built-In", FIRST), ("built-in  low", SECOND)):
        voice = speaker_of(name, rate=180, volume=0.0)
        assert isinstance(voice, EmbeddedVoice)
        assert voice.timbre == timbre
        voice.close()
    for name, wanted in (("platform", None), ("en-gb", "en-gb")):
        other = speaker_of(name, rate=180, volume=0.0)
        assert isinstance(other, ChildVoice)
        assert other.voice == wanted
        other.close()
